package records

import (
	"slices"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

func siteKeys() *keys[Site] {
	decision := newKeys(
		lined(text("rule", "decision rule where the procedure names none (explain rules lists them); default simple", func(d *SiteDecision) *string { return &d.Rule }), func(d *SiteDecision) *int { return &d.RuleLine }),
		number("minimum-ratio", "MPE/U below which a verdict without guard band is remarked on; default none", func(d *SiteDecision) *float64 { return &d.MinimumRatio }),
	)
	due := newKeys(
		word("until", "due to the day, or to the end of its month (for intervals in months); default day", []string{"day", "month-end"}, func(d *SiteDue) *string { return &d.Until }),
		period("lead", "how long before the due date it is announced; default 30 days", func(d *SiteDue) *quantity.Interval { return &d.Lead }),
	)
	choose := newKeys(
		number("minimum-ratio", "half the width of the tolerance zone must be at least so many times the device's bound; default 4 (common practice, no source)", func(c *SiteChoose) *float64 { return &c.MinimumRatio }),
	)
	return newKeys(slices.Concat([]key[Site]{
		need(integer("format", "version of the record format", 1, Format, func(s *Site) *int { return &s.Format })),
		need(text("name", "name of the shop or laboratory", func(s *Site) *string { return &s.Name })),
		need(text("time-zone", "tz database name of the zone in which local dates are meant", func(s *Site) *string { return &s.TimeZone })),
		need(word("unit", "length unit offered when readings are recorded", units(), func(s *Site) *string { return &s.Unit })),
		table("decision", "how measured values are judged", decision, func(s *Site) *SiteDecision { return &s.Decision }, func(s *Site) bool { return s.Decision != SiteDecision{} }, nil),
		table("due", "when what is due counts as overdue, and how early to say so", due, func(s *Site) *SiteDue { return &s.Due }, func(s *Site) bool { return s.Due != SiteDue{} }, nil),
		table("chart", "settings of the control charts", chartKeys(), func(s *Site) *ChartSettings { return &s.Chart }, func(s *Site) bool { return s.Chart.stated() }, nil),
		fitnessTable(),
		table("choose", "what a device must keep to be chosen for a job", choose, func(s *Site) *SiteChoose { return &s.Choose }, func(s *Site) bool { return s.Choose != SiteChoose{} }, nil),
		table("scans", "where scans are kept; one of the two keys at most", siteScansKeys(), func(s *Site) *SiteScans { return &s.Scans }, func(s *Site) bool { return s.Scans != SiteScans{} }, nil),
	}, watchTables())...)
}

// units are the units readings may be written in.
func units() []string { return []string{"mm", "µm", "um", "m", "in"} }

func (c *ChartSettings) stated() bool {
	return c.Kind != "" || c.Baseline != 0 || c.Minimum != 0 || len(c.Tests) > 0 || c.Widened ||
		c.Weight != 0 || c.Width != 0 || c.Reference != 0 || c.Decision != 0 || c.HeadStart != 0
}

func chartKeys() *keys[ChartSettings] {
	return newKeys(
		lined(text("kind", "kind of chart (explain charts lists them); default individuals", func(c *ChartSettings) *string { return &c.Kind }), func(c *ChartSettings) *int { return &c.KindLine }),
		integer("baseline", "checks after a restart from which the limits are computed; default 20", 2, 1000, func(c *ChartSettings) *int { return &c.Baseline }),
		integer("minimum", "checks below which limits are provisional and signals are not acted on; default 10", 2, 1000, func(c *ChartSettings) *int { return &c.Minimum }),
		lined(texts("tests", "list of run tests, \"same-side 7\"", "run tests applied, each with the length of its run where that is not its default (explain tests lists them); default: the eight of Nelson", func(c *ChartSettings) *[]string { return &c.Tests }), func(c *ChartSettings) *int { return &c.TestLine }),
		truth("widened", "limits are widened as far as the baseline is short, so that a false alarm is as rare as with a long one; default false", func(c *ChartSettings) *bool { return &c.Widened }),
		number("weight", "ewma: weight of the newest check; default 0.2", func(c *ChartSettings) *float64 { return &c.Weight }),
		number("width", "ewma: limits, in standard deviations of the average; default 3", func(c *ChartSettings) *float64 { return &c.Width }),
		number("reference", "cusum: reference value, in standard deviations; default 0.5", func(c *ChartSettings) *float64 { return &c.Reference }),
		number("decision", "cusum: decision value, in standard deviations; default 5", func(c *ChartSettings) *float64 { return &c.Decision }),
		number("head-start", "cusum: first value of the sums, in standard deviations; default 0", func(c *ChartSettings) *float64 { return &c.HeadStart }),
	)
}

func deviceKeys() *keys[Device] {
	check := newKeys(
		need(ident("procedure", "procedure to follow", func(c *RequiredCheck) *string { return &c.Procedure })),
		need(period("interval", "time from one check to the next", func(c *RequiredCheck) *quantity.Interval { return &c.Interval })),
	)
	limit := newKeys(
		need(word("quantity", "quantity the limit is about", quantityNames(), func(l *Limit) *Quantity { return &l.Quantity })),
		need(inText("mpe", `maximum permissible error, "30 µm", "25 µm + 50 µm/m", "(25 + L/20) µm" (L in mm) or "min(…, …)"`, "maximum permissible error", quantity.ParseMPE, func(l *Limit) *quantity.MPE { return &l.MPE })),
		word("length", "what L is: the path travelled while measuring, or the straight distance; needed when the MPE grows with L", []string{PathLength, StraightLength}, func(l *Limit) *string { return &l.Length }),
		length("over", "the limit holds for features whose nominal length is above this; it is that length that counts, not the path travelled", func(l *Limit) *quantity.Length { return &l.Over }),
		length("up-to", "the limit holds for features whose nominal length is at most this; it is that length that counts, not the path travelled", func(l *Limit) *quantity.Length { return &l.UpTo }),
	)
	return newKeys(
		need(text("kind", "what it is: handheld scanner, arm, micrometer …", func(d *Device) *string { return &d.Kind })),
		text("maker", "who made it", func(d *Device) *string { return &d.Maker }),
		text("model", "the maker's type", func(d *Device) *string { return &d.Model }),
		need(text("serial", "serial number or other unique mark", func(d *Device) *string { return &d.Serial })),
		need(date("in-service", "first day of service", func(d *Device) *calendar.Date { return &d.InService })),
		text("owner", "owner on the first day", func(d *Device) *string { return &d.Owner }),
		text("location", "place on the first day", func(d *Device) *string { return &d.Location }),
		text("firmware", "firmware or software version on the first day", func(d *Device) *string { return &d.Firmware }),
		need(scale("scale-expansion", "relative expansion of the device's material scale; \"none\" for an optical device without one", func(d *Device) *Scale { return &d.Scale })),
		need(instant("entered", "when this record was written", func(d *Device) *time.Time { return &d.Entered })),
		need(text("by", "who wrote it", func(d *Device) *string { return &d.By })),
		text("note", "anything else", func(d *Device) *string { return &d.Note }),
		need(table("calibration", "how often it is calibrated, or why not", calibrationKeys(), func(d *Device) *CalibrationPlan { return &d.Calibration }, func(*Device) bool { return true }, func(c *CalibrationPlan) *int { return &c.Line })),
		tables("check", "one intermediate check required at intervals", check, func(d *Device) *[]RequiredCheck { return &d.Checks }, func(c *RequiredCheck) *int { return &c.Line }),
		need(tables("limit", "one maximum permissible error", limit, func(d *Device) *[]Limit { return &d.Limits }, func(l *Limit) *int { return &l.Line })),
	)
}

func artifactKeys() *keys[Artifact] {
	feature := newKeys(
		need(text("name", "name of the feature, as in certificates and readings", func(f *Feature) *string { return &f.Name })),
		need(word("quantity", "quantity it embodies", quantityNames(), func(f *Feature) *Quantity { return &f.Quantity })),
		need(length("nominal", "nominal value", func(f *Feature) *quantity.Length { return &f.Nominal })),
		inText("expansion", expansionForm, "relative thermal expansion where it is another than the artifact's: ceramic spheres on a steel bar", quantity.ParseExpansion, func(f *Feature) *quantity.Expansion { return &f.Expansion }),
		inText("expansion-uncertainty", `uncertainty, "±1e-6/K (rectangular)"`, "its uncertainty; needed with it", quantity.ParseExpansionUncertainty, func(f *Feature) *quantity.ExpansionUncertainty {
			return &f.ExpansionUncertainty
		}),
		texts("between", "list of two names", "the two features a distance lies between", func(f *Feature) *[]string { return &f.Between }),
		text("of", "the sphere a form deviation belongs to; needed where it is to be taken from scans", func(f *Feature) *string { return &f.Of }),
	)
	return newKeys(
		need(text("kind", "what it is: ball bar, setting ring, gauge block set …", func(a *Artifact) *string { return &a.Kind })),
		text("maker", "who made it", func(a *Artifact) *string { return &a.Maker }),
		need(text("serial", "serial number or other unique mark", func(a *Artifact) *string { return &a.Serial })),
		need(date("in-service", "first day of service", func(a *Artifact) *calendar.Date { return &a.InService })),
		text("material", "what it is made of", func(a *Artifact) *string { return &a.Material }),
		need(inText("expansion", expansionForm, "relative thermal expansion", quantity.ParseExpansion, func(a *Artifact) *quantity.Expansion { return &a.Expansion })),
		need(inText("expansion-uncertainty", `uncertainty, "±1e-6/K (rectangular)"`, "uncertainty of the expansion", quantity.ParseExpansionUncertainty, func(a *Artifact) *quantity.ExpansionUncertainty { return &a.ExpansionUncertainty })),
		need(instant("entered", "when this record was written", func(a *Artifact) *time.Time { return &a.Entered })),
		need(text("by", "who wrote it", func(a *Artifact) *string { return &a.By })),
		text("note", "anything else", func(a *Artifact) *string { return &a.Note }),
		need(table("calibration", "how often it is calibrated, or why not", calibrationKeys(), func(a *Artifact) *CalibrationPlan { return &a.Calibration }, func(*Artifact) bool { return true }, func(c *CalibrationPlan) *int { return &c.Line })),
		need(tables("feature", "one thing that can be measured", feature, func(a *Artifact) *[]Feature { return &a.Features }, func(f *Feature) *int { return &f.Line })),
	)
}

func procedureKeys() *keys[Procedure] {
	feature := newKeys(
		need(text("name", "feature of the artifact", func(f *ProcedureFeature) *string { return &f.Name })),
		word("quantity", "quantity judged, where it is another than the artifact's feature says", quantityNames(), func(f *ProcedureFeature) *Quantity { return &f.Quantity }),
		integer("repeats", "readings asked; default 1", 1, 1000, func(f *ProcedureFeature) *int { return &f.Repeats }),
		lined(text("test", "test profile it is judged as (explain profiles lists them); default none", func(f *ProcedureFeature) *string { return &f.Test }), func(f *ProcedureFeature) *int { return &f.TestLine }),
	)
	declared := newKeys(
		need(text("name", "what contributes; one named \""+FitContribution+"\" or \""+RepeatabilityContribution+"\" takes the place of what the fits of a check state", func(u *DeclaredUncertainty) *string { return &u.Name })),
		word("quantity", "quantity it contributes to; all of them otherwise", quantityNames(), func(u *DeclaredUncertainty) *Quantity { return &u.Quantity }),
		need(lengthUncertainty("value", "how much", func(u *DeclaredUncertainty) *quantity.LengthUncertainty { return &u.Value })),
	)
	return newKeys(
		need(text("title", "what the check is called", func(p *Procedure) *string { return &p.Title })),
		need(text("revision", "revision of the written procedure", func(p *Procedure) *string { return &p.Revision })),
		need(text("artifact-kind", "kind of artifact it is done with", func(p *Procedure) *string { return &p.ArtifactKind })),
		lined(text("decision-rule", "decision rule; the site's otherwise", func(p *Procedure) *string { return &p.DecisionRule }), func(p *Procedure) *int { return &p.RuleLine }),
		date("agreed", "when the decision rule was agreed", func(p *Procedure) *calendar.Date { return &p.Agreed }),
		need(instant("entered", "when this record was written", func(p *Procedure) *time.Time { return &p.Entered })),
		need(text("by", "who wrote it", func(p *Procedure) *string { return &p.By })),
		text("note", "anything else", func(p *Procedure) *string { return &p.Note }),
		table("chart", "settings of the control charts; the site's otherwise", chartKeys(), func(p *Procedure) *ChartSettings { return &p.Chart }, func(p *Procedure) bool { return p.Chart.stated() }, nil),
		table("extraction", "how readings are fitted from scans, and what a fit must show to be evidence", extractionSettingsKeys(), func(p *Procedure) *ExtractionSettings { return &p.Extraction }, func(p *Procedure) bool { return p.Extraction.stated() }, func(e *ExtractionSettings) *int { return &e.Line }),
		need(tables("feature", "one feature to measure", feature, func(p *Procedure) *[]ProcedureFeature { return &p.Features }, func(f *ProcedureFeature) *int { return &f.Line })),
		tables("uncertainty", "one declared contribution to the uncertainty of the test value", declared, func(p *Procedure) *[]DeclaredUncertainty { return &p.Uncertainties }, func(u *DeclaredUncertainty) *int { return &u.Line }),
	)
}
