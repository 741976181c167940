package trace

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// state is how a device stood from an instant on.
type state struct {
	day    calendar.Date
	device *rules.Device
}

// states follows a device from one instant to another, its state at both and
// each time it can have changed in between; the last is that at the end.
func (r *Records) states(id string, from, to time.Time) []state {
	set := r.alone(id)
	e := rules.Evaluator{Options: r.options}
	var out []state
	look := func(at time.Time) {
		a := e.At(set, at)
		if i := slices.IndexFunc(a.Devices, func(d rules.Device) bool { return d.ID == id }); i >= 0 {
			out = append(out, state{r.day(at), &a.Devices[i]})
		}
	}
	look(from)
	for last, next := from, e.Next(); next.After(last) && next.Before(to); last, next = next, e.Next() {
		look(next)
	}
	if to.After(from) {
		look(to)
	}
	return out
}

// now is how a device stands at the instant asked about.
func (r *Records) now(id string) []state {
	list, found := r.standing[id]
	if !found {
		list = r.states(id, r.at, r.at)
		r.standing[id] = list
	}
	return list
}

// against lists the reasons because of which a device may not be used, the
// worst first.
func against(d *rules.Device) (text string, sources []rules.Source) {
	const shown = 3
	var parts []string
	for _, r := range d.Reasons {
		if r.Effect == rules.Fit {
			continue
		}
		if len(parts) == shown {
			parts = append(parts, "…")
			break
		}
		parts = append(parts, r.Sentence)
		sources = append(sources, r.Sources...)
	}
	return strings.Join(parts, "; "), sources
}

// notFit adds a gap for each way in which a device was not allowed to measure
// what is asked of it.
func (b *builder) notFit(s *Step, states []state, needs []need) {
	said := map[string]bool{}
	for _, st := range states {
		var barred []string
		for _, n := range needs {
			if !st.device.Allows(n.quantity, n.lengthMM) {
				barred = append(barred, n.words)
			}
		}
		if len(barred) == 0 {
			continue
		}
		why, sources := against(st.device)
		key := fmt.Sprint(st.device.Fitness, barred, why)
		if said[key] {
			continue
		}
		said[key] = true
		text := fmt.Sprintf("on %s %s was %s", st.day, st.device.ID, st.device.Fitness)
		if st.device.Fitness == rules.Limited {
			text += " and not allowed to measure " + strings.Join(barred, " or ")
		}
		if why != "" {
			text += ": " + why
		}
		s.gap("device-not-fit", text, sources...)
	}
}
