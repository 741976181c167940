package watch

import "time"

// Clock is the time of day and a way to wait. The wall clock may step; waiting does not follow its steps.
type Clock interface {
	Now() time.Time
	After(d time.Duration) <-chan time.Time
}
