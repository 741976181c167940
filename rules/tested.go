package rules

import (
	"fmt"
	"strings"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// Parameter is one parameter in force for readings from scans, and who set it.
type Parameter struct {
	Name    string
	Value   string
	From    string // a record with its line, a test, or "default"
	Instead string // what the test has, where the procedure says otherwise; empty: it says nothing else
}

// tested is what a procedure asks of the readings of one feature: the test it
// names, and the parameters of the procedure before those of the test.
type tested struct {
	profile       *conformity.ProfileDoc // nil: none named
	demands       conformity.Demands
	parameters    []Parameter
	contradiction string // why the feature cannot be judged so; empty: nothing speaks against it
}

// testedBy finds what a procedure asks of a feature. A feature that the
// procedure does not ask for is judged by no test.
func testedBy(p *records.Procedure, f *records.Feature, q records.Quantity) tested {
	var t tested
	asked := p.Feature(f.Name)
	if asked != nil && asked.Test != "" {
		doc, err := conformity.ParseProfile(asked.Test)
		if err != nil {
			t.contradiction = err.Error()
			return t
		}
		t.profile, t.demands = &doc, doc.Demands()
		t.contradiction = contradiction(p, &doc, string(q), string(f.Quantity))
	}
	t.parametersOf(p, q)
	return t
}

// contradiction says why a procedure cannot judge a feature by a test: what it
// judges, or how it wants points taken, is not what the test is about.
func contradiction(p *records.Procedure, doc *conformity.ProfileDoc, judged, embodied string) string {
	if why := doc.Contradiction(judged, embodied); why != "" {
		return why
	}
	form := records.AllPoints
	if doc.Sampling == conformity.Points95 {
		form = records.NinetyFivePoints
	}
	switch {
	case doc.OneSided && p.Extraction.FormRule() != form:
		return fmt.Sprintf("test %s takes the form over %s, and the procedure over %s", doc.Profile, form, p.Extraction.FormRule())
	case doc.FreeRadius && p.Extraction.RadiusRule() == records.FixedRadius:
		return fmt.Sprintf("test %s fits the radius, and the procedure holds it fixed", doc.Profile)
	}
	return ""
}

// parametersOf puts the procedure's parameters before those of the test.
func (t *tested) parametersOf(p *records.Procedure, q records.Quantity) {
	e := &p.Extraction
	from := fmt.Sprintf("%s:%d", p.File, e.Line)
	t.add("outliers", e.OutlierRule(), from, e.Outliers == "")
	t.add("radius", e.RadiusRule(), from, e.Radius == "")
	if q.OneSided() {
		t.add("form over", e.FormRule(), from, e.Form == "")
	}
	d := &t.demands
	points, cut := "", ""
	if d.LeastPoints > 0 {
		points = fmt.Sprint(d.LeastPoints)
	}
	if d.CutLimited {
		cut = shareText(d.MostCut)
	}
	if e.LeastPoints > 0 {
		d.LeastPoints = e.LeastPoints
		t.parameters = append(t.parameters, Parameter{"least points", fmt.Sprint(e.LeastPoints), from, otherThan(points, fmt.Sprint(e.LeastPoints))})
	} else {
		t.ofTest("least points", points)
	}
	if !e.LeastCoverage.IsZero() {
		d.LeastCoverage = e.LeastCoverage.Fraction()
		t.parameters = append(t.parameters, Parameter{"least coverage", e.LeastCoverage.String(), from, ""})
	}
	if !e.MostRejected.IsZero() {
		d.CutLimited, d.MostCut = true, e.MostRejected.Fraction()
		t.parameters = append(t.parameters, Parameter{"most cut", e.MostRejected.String(), from, otherThan(cut, shareText(d.MostCut))})
	} else {
		t.ofTest("most cut", cut)
	}
}

func (t *tested) add(name, value, from string, unstated bool) {
	if unstated {
		from = "default"
	}
	t.parameters = append(t.parameters, Parameter{Name: name, Value: value, From: from})
}

// ofTest keeps a parameter that the test alone has.
func (t *tested) ofTest(name, value string) {
	if value != "" {
		t.parameters = append(t.parameters, Parameter{Name: name, Value: value, From: "test " + string(t.profile.Profile)})
	}
}

// otherThan returns what a test has where that is not what holds.
func otherThan(test, holds string) string {
	if test == holds {
		return ""
	}
	return test
}

// shareText writes a share in percent, exactly as far as three digits go.
func shareText(share float64) string { return fmt.Sprintf("%.3g %%", share*100) }

// unmet says what a reading lacks of what its procedure and test ask; empty
// where it lacks nothing. Of typed readings only the path can be told: nobody
// recorded the points behind them.
func (j *judging) unmet() string {
	var out []string
	if t := j.test.profile; t != nil && t.NeedsPath && j.reading.Path.IsZero() {
		out = append(out, fmt.Sprintf("test %s needs the path travelled, and the reading has none", t.Profile))
	}
	if j.radiusHeld() {
		out = append(out, "the radius was held at its certified value, which hides the error of size that is judged")
	}
	demands := j.test.demands
	demands.FreeRadius = false // said once for the check
	if len(j.check.Fits) > 0 && demands.Asks() {
		for i := range j.reading.Values {
			for _, s := range j.spheres(i) {
				if s.fit == nil {
					out = append(out, fmt.Sprintf("in scan %d, how %s was fitted is not recorded, and the procedure asks it", s.scan, s.name))
					continue
				}
				for _, text := range demands.Unmet(fittedOf(s.name, s.fit)) {
					out = append(out, fmt.Sprintf("in scan %d, %s", s.scan, text))
				}
			}
		}
	}
	if more := len(out) - shownUnmet; more > 0 {
		out = append(out[:shownUnmet], fmt.Sprintf("and %d more", more))
	}
	return strings.Join(out, "; ")
}

// shownUnmet is how much of what a reading lacks is told.
const shownUnmet = 4

// radiusHeld reports whether the radius was held where it must be fitted: where
// a diameter is judged, whoever asked for it, and where the test says so. A
// feature without fits beside others that have them was typed.
func (j *judging) radiusHeld() bool {
	k := j.check
	if k.Extraction == nil || k.Extraction.Radius != records.FixedRadius || j.quantity != records.Diameter && !j.test.demands.FreeRadius {
		return false
	}
	return len(k.Fits) == 0 || k.FitOf(j.reading, 0) != nil
}

// sphereFit is the fit of a sphere that a value rests on.
type sphereFit struct {
	name string
	scan int
	fit  *records.Fit // nil: not recorded
}

// spheres lists the spheres that the i-th value was fitted from: the feature
// itself, or the two that a distance lies between. There are none for a value
// of which no fit is recorded.
func (j *judging) spheres(i int) []sphereFit {
	f := j.check.FitOf(j.reading, i)
	switch {
	case f == nil:
		return nil
	case j.feature.Quantity != records.Distance:
		return []sphereFit{{f.Feature, f.Scan, f}}
	case len(j.feature.Between) == 0:
		return []sphereFit{{name: "either end of " + f.Feature, scan: f.Scan}}
	}
	var out []sphereFit
	for _, end := range j.feature.Between {
		out = append(out, sphereFit{end, f.Scan, j.check.FitIn(end, f.Scan)})
	}
	return out
}

// fittedOf takes from the record what a fit is judged by.
func fittedOf(name string, f *records.Fit) conformity.Fitted {
	return conformity.Fitted{Name: name, Points: f.Points, Cut: f.Rejected, Coverage: f.Coverage.Fraction()}
}

// demanded is where it is asked what a reading lacks.
func (d *deviceContext) demanded(k *records.Check, feature string) Source {
	p := d.set.Procedures[k.Procedure]
	asked := p.Feature(feature)
	switch {
	case asked != nil && asked.Test != "":
		return Source{p.File, asked.TestLine}
	case p.Extraction.Line == 0 && k.Extraction != nil: // asked of every diameter
		return Source{k.File, k.Extraction.Line}
	}
	return Source{p.File, p.Extraction.Line}
}
