package rules

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/records"
)

// doubtfulJobs lists the jobs measured within the range of a limit from the
// last good evidence for it before a failure to the adjustment that ended the
// state the failure was found in, or to the check that found it good again; the
// zero time: nothing has. Whether a job suffered
// depends on its tolerance, length and path, and is for a person to look at:
// those on which a case has decided since are left out.
func (d *deviceContext) doubtfulJobs(f failure, ended time.Time, source Source) {
	d.caseless(f, source)
	window := d.lastGood(f)
	var names []string
	var sources []Source
	for _, x := range d.jobsWithin(f.limit, window.time, ended) {
		if d.decided(x.Job.ID, f) {
			continue
		}
		names = append(names, x.Job.ID)
		sources = append(sources, Source{File: x.Job.File})
	}
	if len(names) > 0 {
		d.add("jobs-in-doubt", fmt.Sprintf("%s measured %s: %s", d.sinceWords(&window), f.limit.Quantity, strings.Join(names, ", ")), []records.Quantity{f.limit.Quantity}, sources...)
	}
}

// jobsUnderWay compares jobs under way with what the device may presently
// measure.
func (d *deviceContext) jobsUnderWay() {
	for _, j := range d.jobs[d.id] {
		if d.over(j.End) {
			continue
		}
		for i := range j.Measured {
			m := &j.Measured[i]
			if why := d.barred(m); why != "" {
				d.add("job-beyond-limits", fmt.Sprintf("job %s measures %s up to %s: %s", j.ID, m.Quantity, m.Length, why),
					[]records.Quantity{m.Quantity}, Source{j.File, m.Line})
			}
		}
	}
}

// barred says why the device may presently not measure something, or nothing.
// It comes after all reasons that bear on fitness.
func (d *deviceContext) barred(m *records.JobFeature) string {
	if f := d.out.Fitness; f == Unfit || f == Unknown {
		return "the device is " + string(f)
	}
	may, _ := d.allowed()
	for _, s := range may {
		if s.covers(m.Quantity, m.Length.Millimetres()) {
			return ""
		}
	}
	return "not among what it may measure"
}
