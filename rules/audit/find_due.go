package audit

import (
	"fmt"
	"slices"

	"plumbrule/rules"
)

// due reports what is overdue or was never done, at the end of the period.
func (f *finder) due() {
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		if d.Record == nil || !f.looksAt(d.ID) || d.Service.State != rules.InService {
			continue
		}
		f.aDue(d.ID, &d.Calibration)
		for j := range d.Checks {
			f.aDue(d.ID, &d.Checks[j])
		}
	}
	for i := range f.Assessment.Artifacts {
		if a := &f.Assessment.Artifacts[i]; a.Record != nil && f.looksAt(a.ID) && a.Service == rules.InService {
			f.aDue(a.ID, &a.Calibration)
		}
	}
}

func (f *finder) aDue(id string, d *rules.Due) {
	switch d.State {
	case rules.Overdue:
		f.add("overdue", id, fmt.Sprintf("%s, last on %s, was due by %s", d.What, d.Last, d.Date), d.Sources...)
	case rules.Missing:
		f.add("never-done", id, d.What+" was never done, or never as evidence", d.Sources...)
	default:
	}
}

// standing reports what a device in use is not shown to keep.
func (f *finder) standing(id string) {
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		if d.ID != id || d.Service.State != rules.InService {
			continue
		}
		for _, r := range d.Reasons {
			if slices.Contains([]string{"return-unproven", "quantity-unproven", "unproven-since-adjustment"}, r.Code) {
				f.add("unproven-in-use", id, r.Sentence, r.Sources...)
			}
		}
	}
}
