package plan

import (
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// Kind is a kind of work.
type Kind string

// The kinds of work.
const (
	Calibration Kind = "calibration"
	Check       Kind = "check"
)

// Task is one piece of work.
type Task struct {
	Kind    Kind
	Subject string // device or artifact
	What    string // "calibration" or the procedure's id
	// Day is when to do it: of a check the due date, of a calibration the last day to send it away, its due date less the
	// laboratory's lead time; today where that has passed.
	Day  calendar.Date
	Due  calendar.Date
	Late bool // the day to do it had passed
	// Expected is set where the day rests on an earlier check being made on its day.
	Expected bool
	Lead     quantity.Interval // calibrations: the lead time that counts
	// With is the artifact of the last check by the procedure, or the kind it asks; for a calibration the laboratory of the last
	// certificate. Empty: not known.
	With      string
	Place     string
	Objection string   // why the artifact is of no use on that day; empty: nothing is known against it
	Jobs      []string // jobs of the period that need it
	Sources   []rules.Source
}

// Week is the Monday of the week of a day (ISO 8601-1:2019).
func Week(day calendar.Date) calendar.Date {
	return day.AddDays(-((int(day.Weekday()) + 6) % 7))
}

// Batch is work that can be done in one go.
type Batch struct {
	Kind  Kind
	With  string
	Place string        // of checks; calibrations of one laboratory go together wherever the objects stand
	Week  calendar.Date // its Monday
	Day   calendar.Date // the first day on which something of it is to be done
	Tasks []Task
}

// JobCover says what the devices of a job of the period run out of.
type JobCover struct {
	Job  *records.Job
	Gaps []Gap // empty: covered, if the work planned is done and passes
}

// Gap is one device that does not cover a job.
type Gap struct {
	Device   string
	Sentence string
	Sources  []rules.Source
}

// Plan is the work of the coming weeks.
type Plan struct {
	From, Until calendar.Date // both included
	Tasks       []Task        // in the order of their days
	Batches     []Batch       // likewise
	Jobs        []JobCover    // in the order of their first days
}
