package quantity

import (
	"fmt"
	"strings"
	"time"
)

// Hours are hours that come every week, by the clock on the wall: days of the
// week, and on each of them a span of hours, or the whole day. A span that ends
// at an earlier time of day than it begins runs into the next day and belongs
// to the day on which it begins. The zero value is not stated.
type Hours struct {
	first int8 // day, 1 is Monday and 7 Sunday (ISO 8601-1:2019, 3.1.2.6)
	days  int8 // how many in a row, 1 to 7
	begin int16
	end   int16 // minutes of the day, begin not included 24:00; end from 00:01 to 24:00
}

const minutesOfDay = 24 * 60

// IsZero tells whether the hours are not stated.
func (h Hours) IsZero() bool { return h.days == 0 }

// On tells whether the hours begin on that day of the week.
func (h Hours) On(day time.Weekday) bool {
	iso := (int(day)+6)%7 + 1
	return (iso-int(h.first)+7)%7 < int(h.days)
}

// Minutes gives the beginning and the end in minutes of the day, from 0 to
// 1440. An end that is not after the beginning is one on the next day.
func (h Hours) Minutes() (begin, end int) { return int(h.begin), int(h.end) }

// String gives the canonical form, "monday-friday 07:00-16:00", with the days
// left out where they are all, and the hours where they are the whole day;
// empty when not stated.
func (h Hours) String() string {
	if h.IsZero() {
		return ""
	}
	var parts []string
	whole := h.begin == 0 && h.end == minutesOfDay
	if h.days < 7 || whole {
		text := weekdayName(int(h.first))
		if h.days > 1 {
			text += "-" + weekdayName(int(h.first+h.days-2)%7+1)
		}
		parts = append(parts, text)
	}
	if !whole {
		parts = append(parts, clock(h.begin)+"-"+clock(h.end))
	}
	return strings.Join(parts, " ")
}

func clock(minutes int16) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }

// weekdayName is the name of a day, 1 for Monday to 7 for Sunday, in small letters.
func weekdayName(iso int) string { return strings.ToLower(time.Weekday(iso % 7).String()) }
