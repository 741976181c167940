package records

import (
	"fmt"
	"math"
)

func (c *checker) checkCheck(k *Check) {
	file := k.File
	if zone := c.zone(); zone != nil {
		c.path = appendCheckPath(c.path[:0], k, zone)
		if string(c.path) != file {
			c.name(file, string(c.path))
		}
	}
	c.times(file, k.Time, k.Entered)
	c.scans(k)
	c.amends(file, k.Amends, k.Reason, k.Entered, func(r any) bool {
		o, ok := r.(*Check)
		return ok && o.Device == k.Device
	})
	device := c.device(k.Device, file, top("device"))
	artifact := c.artifact(k.Artifact, file, top("artifact"))
	procedure := c.procedure(k.Procedure, file, top("procedure"))
	if artifact == nil || procedure == nil {
		return
	}
	if artifact.Kind != procedure.ArtifactKind {
		c.fault("artifact-kind", file, top("artifact"), fmt.Sprintf("%s is a %s; procedure %s is written for a %s", artifact.ID, artifact.Kind, procedure.ID, procedure.ArtifactKind), "",
			c.place(procedure.File, top("artifact-kind"), "where the procedure says so"))
		return
	}
	lengths, strange := false, false
	for i := range k.Readings {
		r := &k.Readings[i]
		f := c.feature(artifact, r.Feature, file, row("reading", i).at("feature"))
		if f == nil {
			strange = true
			continue
		}
		q := JudgedQuantity(procedure, f)
		lengths = lengths || !q.OneSided()
		c.reading(k, i, f, q)
		if device != nil {
			c.judgeable(k, i, f, q, device)
		}
		if procedure.Feature(r.Feature) == nil {
			c.fault("feature-not-asked", file, row("reading", i).at("feature"), fmt.Sprintf("procedure %s does not ask feature %q", procedure.ID, r.Feature), "")
		}
	}
	if !strange {
		c.complete(k, procedure)
		c.fits(k, artifact)
	}
	if lengths && !k.Compensated {
		c.temperature(k)
	}
}

// temperature checks that the artifact's temperature is there.
func (c *checker) temperature(k *Check) {
	var what, mend string
	noUncertainty := k.Conditions.TemperatureUncertainty.IsZero()
	switch {
	case !k.Conditions.Stated && noUncertainty:
		what = "the artifact's temperature and its uncertainty are"
	case !k.Conditions.Stated:
		what, mend = "the artifact's temperature is", `add artifact-temperature = "… °C"`
	case noUncertainty:
		what, mend = "the uncertainty of the artifact's temperature is", `add temperature-uncertainty = "… °C (k = 2)"`
	default:
		return
	}
	c.fault("temperature-missing", k.File, top("conditions"), what+" not given, and the readings are not stated as compensated", mend)
}

// JudgedQuantity returns the quantity a procedure judges a feature for.
func JudgedQuantity(p *Procedure, f *Feature) Quantity {
	if asked := p.Feature(f.Name); asked != nil && asked.Quantity != "" {
		return asked.Quantity
	}
	return f.Quantity
}

// doubtful is the difference between a reading and the nominal value, relative
// to the nominal value, above which a reading is not taken for one of the
// feature: no device that could be checked is wrong by a tenth.
const doubtful = 0.1

// reading checks values against the feature's nominal value.
func (c *checker) reading(k *Check, i int, f *Feature, q Quantity) {
	unit := k.UnitMM()
	nominal := f.Nominal.Millimetres()
	for j, v := range k.Readings[i].Values {
		key := row("reading", i).at("values").value(j)
		if q.OneSided() {
			if v < 0 {
				c.fault("out-of-range", k.File, key, fmt.Sprintf("a form error is never negative, this one is %v %s", v, k.Unit), "look at the sign")
			}
			continue
		}
		if math.Abs(v*unit-nominal) <= doubtful*nominal {
			continue
		}
		mend := ""
		for _, other := range units() {
			if m := v * unitMM(other); math.Abs(m-nominal) <= doubtful*nominal && other != "um" {
				mend = fmt.Sprintf("is the unit %s? %v %s would fit", other, v, other)
				break
			}
		}
		c.fault("unit-doubtful", k.File, key, fmt.Sprintf("%v %s is no reading of feature %q, nominal %s", v, k.Unit, f.Name, f.Nominal), mend)
	}
}

// judgeable checks that the device has a limit for the reading and the reading
// what the limit needs.
func (c *checker) judgeable(k *Check, i int, f *Feature, q Quantity, d *Device) {
	r := &k.Readings[i]
	limit := d.LimitFor(q, f.Nominal.Millimetres())
	if limit == nil {
		c.fault("limit-missing", k.File, row("reading", i), fmt.Sprintf("device %s has no limit for %s at %s", d.ID, q, f.Nominal), "",
			c.place(d.File, row("limit", 0), "the limits it has"))
		return
	}
	if limit.CountsPath() && r.Path.IsZero() {
		c.fault("path-missing", k.File, row("reading", i), fmt.Sprintf("the limit of %s for %s is %s with L the path travelled, and the reading of %q has no path", d.ID, q, limit.MPE, f.Name), "",
			limit.place(d))
	}
	if !r.Path.IsZero() && q == Distance && r.Path.Millimetres() < f.Nominal.Millimetres()*(1-doubtful/100) {
		c.fault("path-too-short", k.File, row("reading", i).at("path"), fmt.Sprintf("the path %s is shorter than the distance %s itself", r.Path, f.Nominal), "")
	}
}

// complete reports what the procedure asks and the check has not.
func (c *checker) complete(k *Check, p *Procedure) {
	for i := range p.Features {
		asked := &p.Features[i]
		n, at := 0, top("procedure")
		for j := range k.Readings {
			if k.Readings[j].Feature == asked.Name {
				n += len(k.Readings[j].Values)
				at = row("reading", j).at("values")
			}
		}
		if n < max(1, asked.Repeats) {
			c.fault("reading-missing", k.File, at, fmt.Sprintf("feature %q has %d of the %d readings that procedure %s asks", asked.Name, n, max(1, asked.Repeats), p.ID), "",
				c.place(p.File, row("feature", i), "what is asked"))
		}
	}
}
