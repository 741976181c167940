package quantity

import (
	"strconv"
	"strings"
	"time"
)

// Duration is an elapsed time of whole milliseconds, above zero and at most 366
// days. A day of it is 24 hours long, whatever the clocks on the wall do; for
// days of the calendar there is [Interval]. The zero value is not stated.
type Duration struct{ ms int64 }

// longestDuration bounds a duration; what takes longer is no waiting time but a
// slip.
const longestDuration = 366 * 24 * time.Hour

// IsZero tells whether the duration is not stated.
func (d Duration) IsZero() bool { return d.ms == 0 }

// Time gives the duration; zero when not stated.
func (d Duration) Time() time.Duration { return time.Duration(d.ms) * time.Millisecond }

// durationUnit is one unit of elapsed time: how it is written, one of it and
// several, how else it may be, and how long it is.
type durationUnit struct {
	one, many string
	also      string // further spellings, between blanks
	ms        int64
}

// durationUnits lists the units, the greatest first. The symbols min and h are
// those accepted for use with the SI (SI Brochure, 9th edition, table 8).
func durationUnits() []durationUnit {
	return []durationUnit{
		{"day", "days", "", 24 * 60 * 60 * 1000},
		{"h", "h", " hour hours ", 60 * 60 * 1000},
		{"min", "min", " minute minutes ", 60 * 1000},
		{"s", "s", " second seconds ", 1000},
		{"ms", "ms", "", 1},
	}
}

func (u *durationUnit) spelled(word string) bool {
	return word == u.one || word == u.many || word != "" && strings.Contains(u.also, " "+word+" ")
}

// String gives the canonical form, the greatest unit first: "2 s", "10 min",
// "1 h 30 min", "2 days"; empty when not stated.
func (d Duration) String() string {
	var parts []string
	left := d.ms
	for _, u := range durationUnits() {
		n := left / u.ms
		left -= n * u.ms
		switch n {
		case 0:
		case 1:
			parts = append(parts, "1 "+u.one)
		default:
			parts = append(parts, strconv.FormatInt(n, 10)+" "+u.many)
		}
	}
	return strings.Join(parts, " ")
}
