package records

import (
	"slices"
	"time"
)

// Written reports whether a record, or the site's settings, was written after
// one instant and not after another, by the time of modification it had when it
// was looked at last.
func (x *Index) Written(after, until time.Time) bool {
	from, to := after.UnixNano(), until.UnixNano()
	in := func(e *entry) bool {
		return e != nil && e.id.mode.IsRegular() && e.id.modified > from && e.id.modified <= to
	}
	if in(x.tree.entry(SiteFile)) {
		return true
	}
	return slices.ContainsFunc(x.tree.entries(x.load.files), in)
}
