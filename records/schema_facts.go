package records

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

func certificateKeys() *keys[Certificate] {
	value := newKeys(
		need(text("feature", "feature of the artifact", func(v *CertifiedValue) *string { return &v.Feature })),
		need(inText("value", `length, "800.0150 mm"`, "certified value at 20 °C", quantity.ParseLength, func(v *CertifiedValue) *quantity.Length { return &v.Value })),
		need(lengthUncertainty("uncertainty", "its uncertainty", func(v *CertifiedValue) *quantity.LengthUncertainty { return &v.Uncertainty })),
	)
	review := newKeys(
		need(text("by", "who reviewed", func(r *Review) *string { return &r.By })),
		need(date("date", "when", func(r *Review) *calendar.Date { return &r.Date })),
		need(word("outcome", "what came of it; only an accepted certificate is in force", outcomes(), func(r *Review) *Outcome { return &r.Outcome })),
		words("quantities", "with limits: what it may be used for", quantityNames(), func(r *Review) *[]Quantity { return &r.Quantities }),
		text("reason", "why limited or sent back", func(r *Review) *string { return &r.Reason }),
	)
	scope := newKeys(
		need(word("quantity", "quantity covered", quantityNames(), func(r *ScopeRange) *Quantity { return &r.Quantity })),
		length("over", "covered above this length", func(r *ScopeRange) *quantity.Length { return &r.Over }),
		length("up-to", "covered up to this length", func(r *ScopeRange) *quantity.Length { return &r.UpTo }),
	)
	standard := newKeys(
		need(text("name", "what it is and its mark: \"laser interferometer LI-3\"", func(s *Standard) *string { return &s.Name })),
		text("certificate", "number of its own certificate", func(s *Standard) *string { return &s.Certificate }),
		text("traceability", "what is said of its own traceability", func(s *Standard) *string { return &s.Traceability }),
		date("until", "last day of its own calibration", func(s *Standard) *calendar.Date { return &s.Until }),
	)
	return newKeys(
		need(ident("subject", "artifact or device it is about", func(c *Certificate) *string { return &c.Subject })),
		need(text("number", "number of the certificate", func(c *Certificate) *string { return &c.Number })),
		need(date("date", "day of the calibration", func(c *Certificate) *calendar.Date { return &c.Date })),
		date("issued", "day of issue", func(c *Certificate) *calendar.Date { return &c.Issued }),
		date("received", "day of receipt", func(c *Certificate) *calendar.Date { return &c.Received }),
		need(text("laboratory", "who calibrated", func(c *Certificate) *string { return &c.Laboratory })),
		text("accreditation", "number of the laboratory's accreditation", func(c *Certificate) *string { return &c.Accreditation }),
		words("scope", "quantities the accreditation covers", quantityNames(), func(c *Certificate) *[]Quantity { return &c.Scope }),
		text("traceability", "what the certificate says of its traceability", func(c *Certificate) *string { return &c.Traceability }),
		truth("adjusted", "the object was adjusted during this calibration; as-found and as-left then differ", func(c *Certificate) *bool { return &c.Adjusted }),
		need(instant("entered", "when this record was written", func(c *Certificate) *time.Time { return &c.Entered })),
		need(text("by", "who wrote it", func(c *Certificate) *string { return &c.By })),
		text("amends", "path of the certificate record this one corrects", func(c *Certificate) *string { return &c.Amends }),
		text("reason", "why it is corrected", func(c *Certificate) *string { return &c.Reason }),
		text("note", "anything else", func(c *Certificate) *string { return &c.Note }),
		tables("value", "artifact: certified value of one feature", value, func(c *Certificate) *[]CertifiedValue { return &c.Values }, func(v *CertifiedValue) *int { return &v.Line }),
		tables("as-found", "device: one error found before any adjustment", certifiedErrorKeys(), func(c *Certificate) *[]CertifiedError { return &c.AsFound }, func(e *CertifiedError) *int { return &e.Line }),
		tables("as-left", "device: one error found after adjustment", certifiedErrorKeys(), func(c *Certificate) *[]CertifiedError { return &c.AsLeft }, func(e *CertifiedError) *int { return &e.Line }),
		tables("scope-range", "one range of lengths the accreditation covers; a quantity without one is covered at every length", scope, func(c *Certificate) *[]ScopeRange { return &c.Ranges }, func(r *ScopeRange) *int { return &r.Line }),
		tables("standard", "one measurement standard the laboratory used", standard, func(c *Certificate) *[]Standard { return &c.Standards }, func(s *Standard) *int { return &s.Line }),
		optionalTable("review", "incoming review; may also be recorded later as an event", review, func(c *Certificate) **Review { return &c.Review }, func(r *Review) *int { return &r.Line }),
		attachmentTable("attachment", "the certificate itself", func(c *Certificate) **Attachment { return &c.Attachment }),
	)
}

func outcomes() []Outcome { return []Outcome{Accepted, AcceptedWithLimits, SentBack} }

func certifiedErrorKeys() *keys[CertifiedError] {
	return newKeys(
		need(word("quantity", "quantity whose error was found", quantityNames(), func(e *CertifiedError) *Quantity { return &e.Quantity })),
		need(length("length", "straight length at which the error was found", func(e *CertifiedError) *quantity.Length { return &e.Length })),
		length("path", "path travelled", func(e *CertifiedError) *quantity.Length { return &e.Path }),
		need(errorLength("error", "error of indication: indicated minus certified", func(e *CertifiedError) *quantity.Length { return &e.Error })),
		need(lengthUncertainty("uncertainty", "its uncertainty", func(e *CertifiedError) *quantity.LengthUncertainty { return &e.Uncertainty })),
	)
}

func conditionsKeys() *keys[Conditions] {
	return newKeys(
		artifactTemperature("artifact-temperature", "temperature of the artifact, not of the air", func(c *Conditions) *quantity.Temperature { return &c.ArtifactTemperature }, func(c *Conditions) *bool { return &c.Stated }),
		inText("temperature-uncertainty", `uncertainty, "0.3 °C (k = 2)"`, "its uncertainty", quantity.ParseTemperatureUncertainty, func(c *Conditions) *quantity.TemperatureUncertainty { return &c.TemperatureUncertainty }),
		dullingSpray("dulling-spray", "thickness of a matting layer on the spheres; it enlarges diameters by twice as much, for which nothing is corrected", func(c *Conditions) *quantity.Length { return &c.DullingSpray }),
	)
}

func readingKeys() *keys[Reading] {
	return newKeys(
		need(text("feature", "feature of the artifact", func(r *Reading) *string { return &r.Feature })),
		need(readings("values", "indications in the check's unit, each a new measurement")),
		length("path", "path travelled while measuring; needed where the limit counts it", func(r *Reading) *quantity.Length { return &r.Path }),
		detail(text("position", "place in the measuring volume", func(d *ReadingDetail) *string { return &d.Position })),
		detail(inText("attitude", `angle, "45°"`, "inclination of the artifact to the horizontal", quantity.ParseAngle, func(d *ReadingDetail) *quantity.Angle { return &d.Attitude })),
		detail(text("note", "anything else", func(d *ReadingDetail) *string { return &d.Note })),
	)
}

func checkKeys() *keys[Check] {
	return newKeys(
		need(ident("device", "device checked", func(c *Check) *string { return &c.Device })),
		need(ident("artifact", "artifact used", func(c *Check) *string { return &c.Artifact })),
		need(ident("procedure", "procedure followed", func(c *Check) *string { return &c.Procedure })),
		text("revision", "revision of the procedure followed", func(c *Check) *string { return &c.Revision }),
		need(instant("time", "when it was measured", func(c *Check) *time.Time { return &c.Time })),
		need(instant("entered", "when this record was written", func(c *Check) *time.Time { return &c.Entered })),
		need(text("by", "who measured", func(c *Check) *string { return &c.By })),
		need(word("unit", "unit of the readings", units(), func(c *Check) *string { return &c.Unit })),
		truth("compensated", "the readings are already those at 20 °C", func(c *Check) *bool { return &c.Compensated }),
		word("purpose", "why, where it is not the routine check", []string{AsFoundCheck, AsLeftCheck, AcceptanceCheck}, func(c *Check) *string { return &c.Purpose }),
		text("amends", "path of the check record this one corrects", func(c *Check) *string { return &c.Amends }),
		text("reason", "why it is corrected", func(c *Check) *string { return &c.Reason }),
		text("note", "anything else", func(c *Check) *string { return &c.Note }),
		table("conditions", "conditions that the evaluation needs; not needed for form alone, nor where the readings are compensated", conditionsKeys(), func(c *Check) *Conditions { return &c.Conditions }, func(c *Check) bool { return c.Conditions.given() }, nil),
		need(tables("reading", "what was indicated for one feature", readingKeys(), func(c *Check) *[]Reading { return &c.Readings }, func(r *Reading) *int { return &r.Line })),
		scanTables(),
		optionalTable("extraction", "by what the readings were fitted from the scans", extractionKeys(), func(c *Check) **Extraction { return &c.Extraction }, func(e *Extraction) *int { return &e.Line }),
		tables("fit", "how one value of a reading was fitted, of one feature in one scan; also of the two spheres a distance lies between", fitKeys(), func(c *Check) *[]Fit { return &c.Fits }, func(f *Fit) *int { return &f.Line }),
	)
}

func eventKeys() *keys[Event] {
	return newKeys(
		need(ident("subject", "device or artifact it happened to", func(e *Event) *string { return &e.Subject })),
		need(word("kind", "what happened", EventKindNames(), func(e *Event) *EventKind { return &e.Kind })),
		need(instant("time", "when it happened", func(e *Event) *time.Time { return &e.Time })),
		need(instant("entered", "when this record was written", func(e *Event) *time.Time { return &e.Entered })),
		need(text("by", "who did or decided it", func(e *Event) *string { return &e.By })),
		text("reason", "why", func(e *Event) *string { return &e.Reason }),
		text("as-found", "adjustment: path of the check or certificate taken before it, or \"none\"", func(e *Event) *string { return &e.AsFound }),
		text("evidence", "return-to-service: path of the check or certificate that justifies it", func(e *Event) *string { return &e.Evidence }),
		text("version", "firmware: the version loaded", func(e *Event) *string { return &e.Firmware }),
		text("location", "relocation: the new place", func(e *Event) *string { return &e.Location }),
		text("owner", "handover: the new owner", func(e *Event) *string { return &e.Owner }),
		ident("of", "extension, interval-change: \"calibration\" or a procedure's id", func(e *Event) *string { return &e.Of }),
		period("interval", "interval-change: the new interval", func(e *Event) *quantity.Interval { return &e.Interval }),
		date("until", "extension: the last day", func(e *Event) *calendar.Date { return &e.Until }),
		words("quantities", "limitation, extension, review with limits: what may still be measured", quantityNames(), func(e *Event) *[]Quantity { return &e.Quantities }),
		length("up-to", "limitation, extension: up to this length", func(e *Event) *quantity.Length { return &e.UpTo }),
		date("since", "doubt: first day whose results are in doubt", func(e *Event) *calendar.Date { return &e.Since }),
		text("certificate", "review: path of the certificate record", func(e *Event) *string { return &e.Certificate }),
		word("outcome", "review: what came of it", outcomes(), func(e *Event) *Outcome { return &e.Outcome }),
		text("amends", "path of the event record this one corrects", func(e *Event) *string { return &e.Amends }),
		text("note", "anything else", func(e *Event) *string { return &e.Note }),
	)
}

func jobKeys() *keys[Job] {
	feature := newKeys(
		need(word("quantity", "quantity measured", quantityNames(), func(f *JobFeature) *Quantity { return &f.Quantity })),
		need(length("tolerance", "tightest tolerance, full width of its zone", func(f *JobFeature) *quantity.Length { return &f.Tolerance })),
		need(length("length", "longest straight length", func(f *JobFeature) *quantity.Length { return &f.Length })),
		length("path", "longest path travelled", func(f *JobFeature) *quantity.Length { return &f.Path }),
	)
	return newKeys(
		need(text("title", "what was measured", func(j *Job) *string { return &j.Title })),
		text("customer", "the customer's reference", func(j *Job) *string { return &j.Customer }),
		need(texts("devices", "list of ids", "devices used", func(j *Job) *[]string { return &j.Devices })),
		need(date("begin", "first day of measuring", func(j *Job) *calendar.Date { return &j.Begin })),
		need(date("end", "last day of measuring", func(j *Job) *calendar.Date { return &j.End })),
		texts("checked-before", "list of paths", "checks of its devices made right before it: it was measured after them", func(j *Job) *[]string { return &j.CheckedBefore }),
		texts("checked-after", "list of paths", "checks of its devices made right after it: it was measured before them", func(j *Job) *[]string { return &j.CheckedAfter }),
		need(instant("entered", "when this record was written", func(j *Job) *time.Time { return &j.Entered })),
		need(text("by", "who wrote it", func(j *Job) *string { return &j.By })),
		text("amends", "path of the job record this one corrects", func(j *Job) *string { return &j.Amends }),
		text("reason", "why it is corrected", func(j *Job) *string { return &j.Reason }),
		text("note", "anything else", func(j *Job) *string { return &j.Note }),
		need(tables("measured", "the most demanding thing of one quantity", feature, func(j *Job) *[]JobFeature { return &j.Measured }, func(f *JobFeature) *int { return &f.Line })),
	)
}
