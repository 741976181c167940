package audit

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// certificates reports what certificates lack: those that came in the period,
// and those in force at its end.
func (f *finder) certificates() {
	for _, id := range f.subjects() {
		list := f.acceptances(id)
		last := -1
		for i := range list {
			if !list[i].From.IsZero() {
				last = i
			}
		}
		for i := range list {
			a := &list[i]
			if i < last && !f.within(a.Certificate.Entered) {
				continue
			}
			if a.Outcome == "" {
				f.add("certificate-never-reviewed", id, fmt.Sprintf("certificate %s of %s was entered on %s and never reviewed", a.Certificate.Number, a.Certificate.Date, f.day(a.Certificate.Entered)), rules.Source{File: a.Certificate.File})
			}
			if a.Outcome != records.SentBack {
				f.certificate(id, a.Certificate)
			}
		}
	}
}

func (f *finder) certificate(id string, c *records.Certificate) {
	say := func(code, what string, line int) {
		f.add(code, id, fmt.Sprintf("certificate %s of %s %s", c.Number, c.Date, what), rules.Source{File: c.File, Line: line})
	}
	switch {
	case c.Accreditation == "":
		say("accreditation-not-stated", "names no accreditation of "+c.Laboratory, 0)
	case len(c.Scope)+len(c.Ranges) == 0:
		say("scope-not-stated", fmt.Sprintf("names accreditation %s, and its scope is not entered", c.Accreditation), 0)
	}
	if c.Traceability == "" && len(c.Standards) == 0 {
		say("traceability-not-stated", "states nothing that it is traceable to", 0)
	}
	if c.Attachment == nil {
		say("file-not-kept", "is not kept as it came", 0)
	}
	var outside, without []string
	lineOutside, lineWithout := 0, 0
	look := func(words string, q records.Quantity, l quantity.Length, u quantity.LengthUncertainty, line int) {
		if covered, stated := c.InScope(q, l.Millimetres()); q != "" && c.Accreditation != "" && stated && !covered {
			outside, lineOutside = append(outside, words), line
		}
		if expanded, _, ok := u.Expanded(); !ok || expanded <= 0 {
			without, lineWithout = append(without, words), line
		}
	}
	for _, v := range c.Values {
		var q records.Quantity
		if a := f.Set.Artifacts[id]; a != nil && a.Feature(v.Feature) != nil {
			q = a.Feature(v.Feature).Quantity
		}
		look(v.Feature, q, v.Value, v.Uncertainty, v.Line)
	}
	for _, e := range slices.Concat(c.AsFound, c.AsLeft) {
		look(fmt.Sprintf("%s at %s", e.Quantity, e.Length), e.Quantity, e.Length, e.Uncertainty, e.Line)
	}
	if len(outside) > 0 {
		say("beyond-scope", fmt.Sprintf("states %s outside the scope of accreditation %s", strings.Join(outside, ", "), c.Accreditation), lineOutside)
	}
	if len(without) > 0 {
		say("uncertainty-not-stated", "states no expanded uncertainty U with its k of "+strings.Join(without, ", "), lineWithout)
	}
}
