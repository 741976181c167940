package audit

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
)

// firmware reports changes of firmware in the period that no check followed, or
// none before the next job.
func (f *finder) firmware(id string) {
	for _, e := range f.known.Events[id] {
		if e.Kind != records.FirmwareChange || !f.within(e.Time) {
			continue
		}
		var next *records.Check
		for _, k := range f.known.Checks[id] {
			if k.Time.After(e.Time) {
				next = k
				break
			}
		}
		sources := []rules.Source{{File: e.File}}
		if next == nil {
			f.add("firmware-not-verified", id, fmt.Sprintf("firmware %s was loaded on %s, and it was not checked since", e.Firmware, f.day(e.Time)), sources...)
			continue
		}
		var jobs []string
		for _, j := range f.known.Jobs {
			if slices.Contains(j.Devices, id) && j.Begin.After(f.day(e.Time)) && j.End.Before(f.day(next.Time)) {
				jobs = append(jobs, j.ID)
				sources = append(sources, rules.Source{File: j.File})
			}
		}
		if len(jobs) > 0 {
			f.add("firmware-not-verified", id, fmt.Sprintf("firmware %s was loaded on %s and first checked on %s; measured in between: %s", e.Firmware, f.day(e.Time), f.day(next.Time), strings.Join(jobs, ", ")), sources...)
		}
	}
}
