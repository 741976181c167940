package page

import (
	"slices"
	"strings"

	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// mark is a word with its shape: what it is told by beside its colour.
type mark struct {
	Class, Word string
}

// fitness classes the four words of fitness.
func fitness(f rules.Fitness) mark { return mark{string(f), string(f)} }

// dueDate is a due date in a table.
type dueDate struct {
	Date string
	mark
}

func dueDateOf(d rules.Due) dueDate {
	out := dueDate{}
	if !d.Date.IsZero() && d.State != rules.Missing && d.State != rules.NotRequired {
		out.Date = d.Date.String()
	}
	switch d.State {
	case rules.Overdue:
		out.mark = mark{"late", "overdue"}
	case rules.Missing:
		out.mark = mark{"late", "never done"}
	case rules.Soon:
		out.mark = mark{"soon", "due soon"}
	case rules.DueNow:
		out.mark = mark{"soon", "extra, now"}
	case rules.Ahead:
		out.mark = mark{"ahead", ""}
	case rules.NotRequired:
		out.mark = mark{"none", "not required"}
	case rules.Stopped:
		out.mark = mark{"none", "stopped"}
	case "":
		out.mark = mark{"none", "unknown"}
	}
	if d.Extension != nil {
		out.Word = strings.TrimPrefix(out.Word+", extended", ", ")
	}
	return out
}

// duty is something that has to be done by a day.
type duty struct {
	Subject, Kind, Place string // Kind is "device" or "artifact"
	Due                  rules.Due
	Days                 int // until the date; negative: overdue by so many
}

// duties lists what falls due, the earliest first. What is retired is not done any more.
func duties(v *View) []duty {
	var out []duty
	today := v.Assessment.Today
	add := func(subject, kind, place string, due rules.Due) {
		switch due.State {
		case rules.Missing, rules.Overdue, rules.DueNow, rules.Soon, rules.Ahead:
			out = append(out, duty{subject, kind, place, due, today.DaysUntil(due.Date)})
		case rules.NotRequired, rules.Stopped, "":
		}
	}
	for i := range v.Assessment.Devices {
		d := &v.Assessment.Devices[i]
		if d.Service.State == rules.Retired {
			continue
		}
		add(d.ID, "device", d.Service.Location, d.Calibration)
		for _, c := range d.Checks {
			add(d.ID, "device", d.Service.Location, c)
		}
	}
	for i := range v.Assessment.Artifacts {
		if a := &v.Assessment.Artifacts[i]; a.Service != rules.Retired {
			add(a.ID, "artifact", "", a.Calibration)
		}
	}
	slices.SortStableFunc(out, func(a, b duty) int { return a.Due.Date.Compare(b.Due.Date) })
	return out
}

// nextCheck returns the check that is due first.
func nextCheck(d *rules.Device) rules.Due {
	switch {
	case d.Record == nil:
		return rules.Due{}
	case len(d.Checks) == 0:
		return rules.Due{State: rules.NotRequired}
	}
	return slices.MinFunc(d.Checks, func(a, b rules.Due) int { return a.Date.Compare(b.Date) })
}

func month(d calendar.Date) calendar.Date { return calendar.Date{Year: d.Year, Month: d.Month, Day: 1} }
