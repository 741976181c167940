package records

import (
	"strings"

	"pgregory.net/rapid"

	"plumbrule/records/quantity"
)

func (d drawer) site() *Site {
	s := &Site{
		Format: Format, Name: d.text(), TimeZone: d.text(), Unit: rapid.SampledFrom(units()).Draw(d.T, "unit"),
		Decision: SiteDecision{Rule: d.maybeText()}, Chart: d.chart(),
	}
	if d.maybe() {
		s.Decision.MinimumRatio = rapid.Float64Range(0.1, 20).Draw(d.T, "ratio")
		s.Due = SiteDue{Until: "month-end", Lead: d.interval()}
		s.Choose.MinimumRatio = rapid.Float64Range(0.1, 20).Draw(d.T, "choose ratio")
	}
	switch rapid.IntRange(0, 2).Draw(d.T, "scans") {
	case 0:
		s.Scans.Folder = d.text()
	case 1:
		s.Scans.Archive = d.text()
	}
	seen := map[string]bool{}
	for range rapid.IntRange(0, 3).Draw(d.T, "policies") {
		if p := (FitnessPolicy{Code: d.text(), Effect: d.text()}); !seen[p.Code] {
			seen[p.Code] = true
			s.Fitness = append(s.Fitness, p)
		}
	}
	d.watch(s)
	return s
}

func (d drawer) device() *Device {
	r := &Device{
		Kind: d.text(), Maker: d.maybeText(), Model: d.maybeText(), Serial: d.text(), InService: d.date(),
		Owner: d.maybeText(), Location: d.maybeText(), Firmware: d.maybeText(), Calibration: d.plan(),
		Entered: d.instant(), By: d.text(), Note: d.maybeText(),
		Checks: several(d, 0, func() RequiredCheck { return RequiredCheck{Procedure: d.id(), Interval: d.interval()} }),
		Limits: several(d, 1, func() Limit {
			return Limit{
				Quantity: d.quantity(), MPE: parsed(d, quantity.ParseMPE, 0.001, 100, "%v µm", "%v µm + 50 µm/m", "(%v + L/20) µm", "min(%v µm + 5 µm/m, 200 µm)"),
				Length: rapid.SampledFrom([]string{"", PathLength, StraightLength}).Draw(d.T, "length"), Over: d.maybeLength(), UpTo: d.maybeLength(),
			}
		}),
	}
	if d.maybe() {
		r.Scale = Scale{Material: true, Expansion: d.expansion()}
	}
	return r
}

func (d drawer) artifact() *Artifact {
	return &Artifact{
		Kind: d.text(), Maker: d.maybeText(), Serial: d.text(), InService: d.date(), Material: d.maybeText(),
		Expansion: d.expansion(), ExpansionUncertainty: parsed(d, quantity.ParseExpansionUncertainty, 0.01, 5, "±%ve-6/K (rectangular)", "u = %ve-6/K"),
		Calibration: d.plan(), Entered: d.instant(), By: d.text(), Note: d.maybeText(),
		Features: several(d, 1, func() Feature {
			return Feature{Name: d.text(), Quantity: d.quantity(), Nominal: d.length(), Between: several(d, 0, d.text), Of: d.maybeText()}
		}),
	}
}

func (d drawer) certificate() *Certificate {
	found := func() CertifiedError {
		return CertifiedError{
			Quantity: d.quantity(), Length: d.length(), Path: d.maybeLength(),
			Error: parsed(d, quantity.ParseLength, -100, 100, "%v µm"), Uncertainty: d.lengthUncertainty(),
		}
	}
	r := &Certificate{
		Subject: d.id(), Number: d.text(), Date: d.date(), Issued: d.maybeDate(), Received: d.maybeDate(), Laboratory: d.text(),
		Accreditation: d.maybeText(), Scope: d.words(quantityNames()), Traceability: d.maybeText(), Adjusted: d.maybe(),
		AsFound: several(d, 0, found), AsLeft: several(d, 0, found), Attachment: d.attachment(),
		Amends: d.maybeText(), Reason: d.maybeText(), By: d.text(), Note: d.maybeText(), Entered: d.instant(),
		Values: several(d, 0, func() CertifiedValue {
			return CertifiedValue{Feature: d.text(), Value: parsed(d, quantity.ParseLength, -100, 1000, "%v mm", "%.4f mm"), Uncertainty: d.lengthUncertainty()}
		}),
	}
	r.Ranges = several(d, 0, func() ScopeRange {
		return ScopeRange{Quantity: d.quantity(), Over: d.maybeLength(), UpTo: d.maybeLength()}
	})
	r.Standards = several(d, 0, func() Standard {
		return Standard{Name: d.text(), Certificate: d.maybeText(), Traceability: d.maybeText(), Until: d.maybeDate()}
	})
	if d.maybe() {
		r.Review = &Review{By: d.text(), Date: d.date(), Outcome: rapid.SampledFrom(outcomes()).Draw(d.T, "outcome"), Quantities: d.words(quantityNames()), Reason: d.maybeText()}
	}
	return r
}

func (d drawer) procedure() *Procedure {
	return &Procedure{
		Title: d.text(), Revision: d.text(), ArtifactKind: d.text(), DecisionRule: d.maybeText(), Agreed: d.maybeDate(), Chart: d.chart(),
		Entered: d.instant(), By: d.text(), Note: d.maybeText(), Extraction: d.extraction(),
		Features: several(d, 1, func() ProcedureFeature {
			f := ProcedureFeature{Name: d.text(), Test: d.maybeText(), Repeats: rapid.IntRange(0, 1000).Draw(d.T, "repeats")}
			if d.maybe() {
				f.Quantity = d.quantity()
			}
			return f
		}),
		Uncertainties: several(d, 0, func() DeclaredUncertainty {
			return DeclaredUncertainty{Name: d.text(), Quantity: d.quantity(), Value: d.lengthUncertainty()}
		}),
	}
}

func (d drawer) check() *Check {
	r := &Check{
		Device: d.id(), Artifact: d.id(), Procedure: d.id(), Revision: d.maybeText(), Time: d.instant(), Entered: d.instant(), By: d.text(),
		Unit: rapid.SampledFrom(units()).Draw(d.T, "unit"), Compensated: d.maybe(),
		Purpose: rapid.SampledFrom([]string{"", AsFoundCheck, AsLeftCheck, AcceptanceCheck}).Draw(d.T, "purpose"),
		Scans:   several(d, 0, d.scan), Fits: several(d, 0, d.fit), Amends: d.maybeText(), Reason: d.maybeText(), Note: d.maybeText(),
		Readings: several(d, 1, func() Reading {
			r := Reading{Feature: d.text(), Values: several(d, 1, d.number), Path: d.maybeLength()}
			if d.maybe() {
				r.Detail = &ReadingDetail{Position: d.text(), Attitude: parsed(d, quantity.ParseAngle, 0, 90, "%v°"), Note: d.maybeText()}
			}
			return r
		}),
	}
	if d.maybe() {
		r.Extraction = &Extraction{
			Program: d.text(), Outliers: rapid.SampledFrom(outlierRules()).Draw(d.T, "outliers"), Radius: rapid.SampledFrom(radiusRules()).Draw(d.T, "radius"),
		}
	}
	if d.maybe() {
		r.Conditions.DullingSpray = parsed(d, quantity.ParseLength, 0.1, 1000, "%v µm")
	}
	if d.maybe() {
		r.Conditions.Stated = true
		r.Conditions.ArtifactTemperature = parsed(d, quantity.ParseTemperature, -40, 70, "%v °C")
	}
	if d.maybe() {
		r.Conditions.TemperatureUncertainty = parsed(d, quantity.ParseTemperatureUncertainty, 0.01, 3, "%v °C (k = 2)", "±%v °C (rectangular)", "u = %v K")
	}
	return r
}

func (d drawer) scan() ScanFile {
	a := d.attachment()
	if a == nil {
		a = &Attachment{File: d.text(), SHA256: strings.Repeat("0", 64)}
	}
	s := ScanFile{File: a.File, SHA256: a.SHA256, Size: a.Size}
	if d.maybe() {
		s.Unit = rapid.SampledFrom(units()).Draw(d.T, "unit")
	}
	return s
}

func (d drawer) fit() Fit {
	f := Fit{Feature: d.text(), Scan: rapid.IntRange(1, maximumScans).Draw(d.T, "scan"), Remarks: several(d, 0, d.text)}
	if d.maybe() {
		f.Uncertainty = d.lengthUncertainty()
	}
	if d.maybe() {
		f.Points, f.Rejected = rapid.IntRange(leastPoints, maximumPoints).Draw(d.T, "points"), rapid.IntRange(0, maximumPoints).Draw(d.T, "rejected")
		f.Coverage = d.share(0.01)
		f.HalfAngle = parsed(d, quantity.ParseAngle, 0.01, 180, "%v°")
		f.Form, f.SD = parsed(d, quantity.ParseLength, 0, 100, "%v µm"), parsed(d, quantity.ParseLength, 0, 100, "%v µm", "%v mm")
	}
	return f
}

func (d drawer) share(low float64) quantity.Share {
	return parsed(d, quantity.ParseShare, low, 100, "%v %%", "%v ‰")
}

func (d drawer) extraction() ExtractionSettings {
	if !d.maybe() {
		return ExtractionSettings{}
	}
	e := ExtractionSettings{
		Outliers: rapid.SampledFrom(append(outlierRules(), "")).Draw(d.T, "outliers"), Radius: rapid.SampledFrom(append(radiusRules(), "")).Draw(d.T, "radius"),
		Form: rapid.SampledFrom([]string{"", AllPoints, NinetyFivePoints}).Draw(d.T, "form"),
	}
	if d.maybe() {
		e.LeastPoints = rapid.IntRange(leastPoints, maximumPoints).Draw(d.T, "points")
		e.LeastCoverage = d.share(0.01)
	}
	if d.maybe() {
		e.MostRejected = d.share(0)
	}
	return e
}

func (d drawer) event() *Event {
	r := &Event{
		Subject: d.id(), Kind: rapid.SampledFrom(EventKindNames()).Draw(d.T, "kind"), Time: d.instant(), Entered: d.instant(), By: d.text(),
		Reason: d.maybeText(), Note: d.maybeText(), Amends: d.maybeText(), AsFound: d.maybeText(), Evidence: d.maybeText(), Firmware: d.maybeText(),
		Location: d.maybeText(), Owner: d.maybeText(), Until: d.maybeDate(), Quantities: d.words(quantityNames()), UpTo: d.maybeLength(),
		Since: d.maybeDate(), Certificate: d.maybeText(),
	}
	if d.maybe() {
		r.Of, r.Interval, r.Outcome = d.id(), d.interval(), rapid.SampledFrom(outcomes()).Draw(d.T, "outcome")
	}
	return r
}

func (d drawer) step() *CaseStep {
	r := &CaseStep{
		Case: d.id(), Step: rapid.SampledFrom(StepKindNames()).Draw(d.T, "step"), Time: d.instant(), Entered: d.instant(), By: d.text(),
		Reason: d.maybeText(), Note: d.maybeText(), Amends: d.maybeText(), Finding: d.maybeText(), Quantities: d.words(quantityNames()),
		Owner: d.maybeText(), Evidence: d.maybeText(), Since: d.maybeDate(), Until: d.maybeDate(), Jobs: several(d, 0, d.text), Customer: d.maybeText(),
	}
	if d.maybe() {
		r.Subject, r.Outcome = d.id(), rapid.SampledFrom(stepOutcomes()).Draw(d.T, "outcome")
		r.Decision = rapid.SampledFrom(JobDecisions()).Draw(d.T, "decision")
	}
	return r
}

func (d drawer) job() *Job {
	return &Job{
		Title: d.text(), Customer: d.maybeText(), Devices: several(d, 1, d.text), Begin: d.date(), End: d.date(), Entered: d.instant(), By: d.text(),
		Note: d.maybeText(), Amends: d.maybeText(), Reason: d.maybeText(), CheckedBefore: several(d, 0, d.text), CheckedAfter: several(d, 0, d.text),
		Measured: several(d, 1, func() JobFeature {
			return JobFeature{Quantity: d.quantity(), Tolerance: d.length(), Length: d.length(), Path: d.maybeLength()}
		}),
	}
}
