package rules

import (
	"fmt"
	"slices"

	"plumbrule/records"
)

// remarks says what should be known of a reading beside its verdict; nothing of
// it changes the verdict.
func (j *judging) remarks() []string {
	var out []string
	add := func(format string, args ...any) {
		if text := fmt.Sprintf(format, args...); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	k := j.check
	if layer := k.Conditions.DullingSpray; !layer.IsZero() && j.feature.Quantity == records.Diameter {
		add("a matting layer of %s enlarges the diameter by %.3g µm; nothing is corrected for it", layer, 2*layer.Micrometres())
	}
	if t := j.test.profile; t != nil && t.NeedsPath && !j.limit.CountsPath() {
		add("test %s means a limit that grows with the path travelled, and the device's limit %s does not", t.Profile, j.limit.MPE)
	}
	fitted := false
	for i := range j.reading.Values {
		f := k.FitOf(j.reading, i)
		if f == nil {
			continue
		}
		fitted = true
		for _, text := range f.Remarks {
			add("said when %s was fitted in scan %d: %s", f.Feature, f.Scan, text)
		}
		for _, s := range j.spheres(i) {
			if s.fit == nil {
				continue
			}
			for _, text := range fittedOf(s.name, s.fit).Remarks() {
				add("in scan %d, %s", s.scan, text)
			}
			if s.fit == f {
				continue
			}
			for _, text := range s.fit.Remarks {
				add("said when %s was fitted in scan %d: %s", s.name, s.scan, text)
			}
		}
	}
	if fitted {
		j.extracted(add)
	}
	return out
}

// extracted remarks on how readings were fitted: where that is not what the
// procedure asks, and what the uncertainty of a fit holds and leaves out.
func (j *judging) extracted(add func(format string, args ...any)) {
	e, asked := j.check.Extraction, &j.procedure.Extraction
	if e != nil && e.Outliers != asked.OutlierRule() {
		add("outliers were cut by the rule %s, and the procedure asks %s", e.Outliers, asked.OutlierRule())
	}
	if e != nil && e.Radius != asked.RadiusRule() {
		add("the radius was %s, and the procedure asks %s", e.Radius, asked.RadiusRule())
	}
	u := j.procedure.DeclaresFit(j.quantity)
	switch {
	case j.quantity.OneSided():
	case u != nil:
		add("the procedure's %s, %s, takes the place of what the fits state of their uncertainty", u.Name, u.Value)
	default:
		add("the uncertainty holds the fit's own part, which comes mostly from the device's noise; the scatter between repeated values is not added besides. "+
			"A strict reading of ISO 14253-5:2015 (from memory) leaves the device's part out: a procedure then declares %q as u = 0 µm", records.FitContribution)
	}
	switch {
	case j.quantity == records.Distance:
		add("registration errors between scanning volumes are not in the fit's uncertainty")
	case j.quantity.OneSided() && e != nil && e.Radius == records.FixedRadius:
		add("with the radius held at its certified value an error of size shows as one of form")
	}
}
