package records

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records/calendar"
)

func (c *checker) checkDevice(d *Device) {
	c.id(d.File, d.ID)
	c.times(d.File, time.Time{}, d.Entered)
	c.plan(d.File, &d.Calibration)
	for i := range d.Checks {
		key := row("check", i).at("procedure")
		c.procedure(d.Checks[i].Procedure, d.File, key)
		for j := range i {
			if d.Checks[j].Procedure == d.Checks[i].Procedure {
				c.fault("duplicate-feature", d.File, key, fmt.Sprintf("procedure %s is required twice", d.Checks[i].Procedure), "keep the shorter interval")
			}
		}
	}
	for i := range d.Limits {
		c.limit(d, i)
	}
}

func (c *checker) limit(d *Device, i int) {
	l := &d.Limits[i]
	key := row("limit", i)
	if l.MPE.GrowsWithLength() && l.Length == "" {
		c.fault("missing-key", d.File, key.at("mpe"), fmt.Sprintf("%s grows with L, but key length does not say what L is", l.MPE),
			`add length = "path" (the way travelled while measuring) or length = "straight"`)
	}
	over, upTo := l.Range()
	if upTo <= over {
		c.fault("out-of-range", d.File, key.at("up-to"), fmt.Sprintf("the limit holds over %s and up to %s: for nothing", l.Over, l.UpTo), "")
	}
	for j := range i {
		o := &d.Limits[j]
		otherOver, otherUpTo := o.Range()
		apart := otherUpTo <= over || upTo <= otherOver
		if o.Quantity == l.Quantity && !apart {
			c.fault("limits-overlap", d.File, key, fmt.Sprintf("a second limit for %s covers the same lengths", l.Quantity), "",
				c.place(d.File, row("limit", j), "the first one"))
		}
	}
}

// plan checks that a calibration plan says either how often or why not.
func (c *checker) plan(file string, p *CalibrationPlan) {
	switch {
	case p.Interval.IsZero() && p.NotRequired == "":
		c.fault("missing-key", file, top("calibration"), "the calibration plan says neither how often nor why not",
			`add interval = "12 months", or not-required = "the reason"`)
	case !p.Interval.IsZero() && p.NotRequired != "":
		c.fault("unknown-key", file, in("calibration", "not-required"), "the plan has an interval and says that none is required", "keep one of the two")
	}
}

func (c *checker) checkArtifact(a *Artifact) {
	c.id(a.File, a.ID)
	c.times(a.File, time.Time{}, a.Entered)
	c.plan(a.File, &a.Calibration)
	for i := range a.Features {
		f := &a.Features[i]
		key := row("feature", i)
		for j := range i {
			if a.Features[j].Name == f.Name {
				c.fault("duplicate-feature", a.File, key.at("name"), fmt.Sprintf("feature %q is listed twice", f.Name), "",
					c.place(a.File, row("feature", j).at("name"), "the first one"))
			}
		}
		if f.Expansion.IsZero() != f.ExpansionUncertainty.IsZero() {
			c.fault("missing-key", a.File, key, fmt.Sprintf("feature %q states only one of expansion and expansion-uncertainty", f.Name), "state both, or neither: the artifact's then hold")
		}
		if f.Of != "" {
			if f.Quantity != Form {
				c.fault("out-of-range", a.File, key.at("of"), fmt.Sprintf("feature %q is of quantity %s, and only a form deviation is one of a sphere", f.Name, f.Quantity), "leave the key out")
			} else if c.feature(a, f.Of, a.File, key.at("of")); a.Feature(f.Of) != nil && a.Feature(f.Of).Quantity != Diameter {
				c.fault("out-of-range", a.File, key.at("of"), fmt.Sprintf("%q is no sphere but of quantity %s", f.Of, a.Feature(f.Of).Quantity), "name the feature with the sphere's diameter")
			}
		}
		if len(f.Between) == 0 {
			continue
		}
		if len(f.Between) != 2 || f.Between[0] == f.Between[1] {
			c.fault("out-of-range", a.File, key.at("between"), "a distance lies between two different features", "write the two names")
			continue
		}
		for _, name := range f.Between {
			c.feature(a, name, a.File, key.at("between"))
		}
	}
}

func (c *checker) checkProcedure(p *Procedure) {
	c.id(p.File, p.ID)
	c.times(p.File, time.Time{}, p.Entered)
	if p.ID == OfCalibration {
		c.fault("bad-id", p.File, spot{}, `a procedure cannot be called "calibration": extensions and interval changes use the word`, "")
	}
	for i := range p.Features {
		for j := range i {
			if p.Features[j].Name == p.Features[i].Name {
				c.fault("duplicate-feature", p.File, row("feature", i).at("name"), fmt.Sprintf("feature %q is asked twice", p.Features[i].Name), "use repeats")
			}
		}
	}
}

func (c *checker) checkJob(j *Job) {
	c.id(j.File, j.ID)
	c.times(j.File, time.Time{}, j.Entered)
	c.name(j.File, JobPath(j))
	c.order(j.File, "begin", j.Begin, "end", j.End, top("end"))
	for i, id := range j.Devices {
		c.device(id, j.File, top("devices").value(i))
		if slices.Contains(j.Devices[:i], id) {
			c.fault("duplicate-feature", j.File, top("devices").value(i), fmt.Sprintf("device %s is listed twice", id), "")
		}
	}
	for i := range j.Measured {
		m := &j.Measured[i]
		if !m.Path.IsZero() && m.Path.Micrometres() < m.Length.Micrometres() {
			c.fault("path-too-short", j.File, row("measured", i).at("path"), fmt.Sprintf("the path %s is shorter than the length %s", m.Path, m.Length), "")
		}
	}
	c.bracket(j, "checked-before", j.CheckedBefore)
	c.bracket(j, "checked-after", j.CheckedAfter)
	c.amends(j.File, j.Amends, j.Reason, j.Entered, func(r any) bool { _, ok := r.(*Job); return ok })
}

// bracket checks that a job names checks of its devices, made before its last
// day was over or since its first day began.
func (c *checker) bracket(j *Job, key string, checks []string) {
	for i, written := range checks {
		at := top(key).value(i)
		name, r := c.record(written, j.File, at)
		if r == nil {
			continue
		}
		k, ok := r.(*Check)
		if !ok || !slices.Contains(j.Devices, k.Device) {
			c.fault("amends-other", j.File, at, name+" is no check of a device of this job", "name a check of one of its devices")
			continue
		}
		zone := c.zone()
		if zone == nil {
			continue
		}
		if day := calendar.Of(k.Time, zone); key == "checked-before" && day.After(j.End) {
			c.fault("dates-out-of-order", j.File, at, fmt.Sprintf("%s was made on %s, after the job's end = %s", name, day, j.End), "")
		} else if key == "checked-after" && day.Before(j.Begin) {
			c.fault("dates-out-of-order", j.File, at, fmt.Sprintf("%s was made on %s, before the job's begin = %s", name, day, j.Begin), "")
		}
	}
}
