package main

import (
	"fmt"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
)

// told keeps what was said of a check on one page, so that it is said once.
type told map[[2]string]bool

// first reports whether a text is new for the check, and keeps it.
func (t told) first(k *records.Check, text string) bool {
	key := [2]string{k.File, text}
	if t[key] {
		return false
	}
	t[key] = true
	return true
}

// scans shows from which scans a reading's values were taken, and how each was fitted.
func (p *page) scans(j *rules.Judgement, site *records.Site, said told) {
	fitted := false
	for i := range j.Reading.Values {
		f := j.Check.FitOf(j.Reading, i)
		if f == nil {
			continue
		}
		fitted = true
		gave := ""
		if len(j.Reading.Values) > 1 && i == j.ValueIndex {
			gave = ", which gave the worst value"
		}
		p.sub("scan %d: %s%s", f.Scan, scanText(j.Check.ScanNumber(f.Scan), site), gave)
		p.sub("fit in scan %d%s: %s", f.Scan, byProgram(j.Check.Extraction), fitText(f))
		said.first(j.Check, fitKey(f))
		for _, end := range j.Feature.Between {
			if s := j.Check.FitIn(end, f.Scan); s != nil && said.first(j.Check, fitKey(s)) {
				p.sub("fit of %s in scan %d: %s", end, s.Scan, fitText(s))
			}
		}
	}
	if fitted {
		return
	}
	for i := range j.Check.Scans {
		if text := fmt.Sprintf("scan %d: %s", i+1, scanText(&j.Check.Scans[i], site)); said.first(j.Check, text) {
			p.sub("%s; the readings were not recorded as fitted from it", text)
		}
	}
}

func fitKey(f *records.Fit) string { return fmt.Sprintf("fit of %s in scan %d", f.Feature, f.Scan) }

// scanText names a scan's file by all that tells it from another.
func scanText(s *records.ScanFile, site *records.Site) string {
	place, _ := site.Scans.Place(s.File)
	text := fmt.Sprintf("%s, SHA-256 %s", place, s.SHA256)
	if s.Size > 0 {
		text += fmt.Sprintf(", %d bytes", s.Size)
	}
	if s.Unit != "" {
		text += ", numbers in " + s.Unit
	}
	return text
}

func byProgram(e *records.Extraction) string {
	if e == nil {
		return ""
	}
	return fmt.Sprintf(" by %s, radius %s, outliers by rule %s", e.Program, e.Radius, e.Outliers)
}

// fitText shows the figures of a fit, as far as they were recorded.
func fitText(f *records.Fit) string {
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	if f.Points > 0 {
		add("%d points kept, %d cut (%.3g %%)", f.Points, f.Rejected, 100*f.Share())
	}
	if !f.Coverage.IsZero() {
		add("%s of the sphere seen", f.Coverage)
	}
	if !f.HalfAngle.IsZero() {
		add("cap of %s half angle", f.HalfAngle)
	}
	if !f.Form.IsZero() {
		add("form %s (n = %d%s)", f.Form, f.Points, deviation(f))
	} else if !f.SD.IsZero() {
		add("s = %s", f.SD)
	}
	if !f.Uncertainty.IsZero() {
		add("%s", f.Uncertainty)
	}
	return strings.Join(parts, ", ")
}

func deviation(f *records.Fit) string {
	if f.SD.IsZero() {
		return ""
	}
	return fmt.Sprintf(", s = %s", f.SD)
}

// test names the test a reading was judged as, and the parameters in force where somebody chose one or a fit was judged by them.
func (p *page) test(j *rules.Judgement) {
	chosen := j.Test != nil || j.Check.FitOf(j.Reading, 0) != nil
	var parts []string
	for _, x := range j.Parameters {
		chosen = chosen || x.From != "default"
		instead := ""
		if x.Instead != "" {
			instead = fmt.Sprintf("; the test has %s", x.Instead)
		}
		parts = append(parts, fmt.Sprintf("%s %s (%s%s)", x.Name, x.Value, x.From, instead))
	}
	if !chosen {
		return
	}
	if j.Test != nil {
		p.sub("test: %s, %s; %s", j.Test.Profile, j.Test.Title, j.Test.Origin())
	}
	p.sub("asked of fits: %s", strings.Join(parts, ", "))
	if j.Test != nil && j.Check.FitOf(j.Reading, 0) == nil {
		p.sub("the reading was typed: how many points are behind it, and which, is not recorded")
	}
}

type testParameterJSON struct {
	Name    string `json:"name"`
	Value   string `json:"value"`
	From    string `json:"from"`
	Instead string `json:"test_has"`
}

// fitJSON is how one value, or one end of a distance, was fitted.
type fitJSON struct {
	Feature       string   `json:"feature"`
	Scan          int      `json:"scan"`
	File          string   `json:"file"`
	Place         string   `json:"place"`
	SHA256        string   `json:"sha256"`
	Bytes         *int64   `json:"bytes"`
	Unit          string   `json:"unit"`
	Program       string   `json:"program"`
	Outliers      string   `json:"outliers"`
	Radius        string   `json:"radius"`
	Points        *int     `json:"points"`
	Rejected      *int     `json:"rejected"`
	Coverage      *float64 `json:"coverage"`
	HalfAngleDeg  *float64 `json:"half_angle_deg"`
	FormUM        *float64 `json:"form_um"`
	SDUM          *float64 `json:"sd_um"`
	UncertaintyUM *float64 `json:"standard_uncertainty_um"`
	Remarks       []string `json:"remarks"`
}

// scanned adds what is known of test, scans and fits.
func (out *evidenceJSON) scanned(j *rules.Judgement, site *records.Site) {
	if j.Test != nil {
		out.Test, out.TestSource = string(j.Test.Profile), j.Test.Origin()
	}
	for _, x := range j.Parameters {
		out.Parameters = append(out.Parameters, testParameterJSON(x))
	}
	out.Remarks = append(out.Remarks, j.Remarks...)
	for i := range j.Reading.Values {
		f := j.Check.FitOf(j.Reading, i)
		if f == nil {
			continue
		}
		out.Fits = append(out.Fits, fitJSONOf(j.Check, f, site))
		for _, end := range j.Feature.Between {
			if s := j.Check.FitIn(end, f.Scan); s != nil {
				out.Fits = append(out.Fits, fitJSONOf(j.Check, s, site))
			}
		}
	}
}

func fitJSONOf(k *records.Check, f *records.Fit, site *records.Site) fitJSON {
	s := k.ScanNumber(f.Scan)
	place, _ := site.Scans.Place(s.File)
	out := fitJSON{
		Feature: f.Feature, Scan: f.Scan, File: s.File, Place: place, SHA256: s.SHA256, Unit: s.Unit, Remarks: notNull(f.Remarks),
		Coverage: finite(f.Coverage.Fraction()), HalfAngleDeg: finite(f.HalfAngle.Degrees()), FormUM: finite(f.Form.Micrometres()), SDUM: finite(f.SD.Micrometres()),
		UncertaintyUM: finite(f.Uncertainty.Standard()),
	}
	if e := k.Extraction; e != nil {
		out.Program, out.Outliers, out.Radius = e.Program, e.Outliers, e.Radius
	}
	if s.Size > 0 {
		out.Bytes = &s.Size
	}
	if f.Points > 0 {
		out.Points, out.Rejected = &f.Points, &f.Rejected
	}
	return out
}
