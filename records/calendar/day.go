package calendar

import "time"

// StartIn gives the first instant of the local day in a zone, which must not
// be nil. Where clocks skip midnight it is the first instant after the gap;
// where midnight comes twice, the earlier one; where the whole day was left
// out, the first instant of the day that followed.
func (d Date) StartIn(zone *time.Location) time.Time {
	midnight := d.utc()
	// No zone is or was two days from UTC, so d has not begun here.
	instant := midnight.Add(-48 * time.Hour).In(zone)
	begun := instant
	for {
		_, offset := instant.Zone()
		end := OffsetEnd(instant)
		local := midnight.Add(-time.Duration(offset) * time.Second)
		if local.Before(begun) {
			return begun // the clock jumped over midnight when this offset began
		}
		if end.IsZero() || local.Before(end) {
			return local.In(zone)
		}
		instant, begun = end, end
	}
}

// EndIn gives the first instant after the local day in a zone, which must not
// be nil: the start of the next day.
func (d Date) EndIn(zone *time.Location) time.Time { return d.AddDays(1).StartIn(zone) }

// OffsetEnd gives an instant after another one until which the zone of that one
// keeps its offset from UTC, most often that of the next change of its clocks;
// zero: it keeps it for ever. Package time says on the last day of a leap year,
// for zones that change their clocks by a rule, that the offset ended when that
// day began: it takes years for 365 days long (seen in Go 1.26).
func OffsetEnd(instant time.Time) time.Time {
	_, end := instant.ZoneBounds()
	if !end.IsZero() && !end.After(instant) {
		end = end.Add(24 * time.Hour)
	}
	return end
}
