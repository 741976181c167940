package records

import (
	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// schema holds the keys of every record kind. It is built once for each load;
// nothing of it changes afterwards.
type schema struct {
	site        *keys[Site]
	device      *keys[Device]
	artifact    *keys[Artifact]
	certificate *keys[Certificate]
	procedure   *keys[Procedure]
	check       *keys[Check]
	event       *keys[Event]
	job         *keys[Job]
	step        *keys[CaseStep]
}

func newSchema() *schema {
	return &schema{
		site:        siteKeys(),
		device:      deviceKeys(),
		artifact:    artifactKeys(),
		certificate: certificateKeys(),
		procedure:   procedureKeys(),
		check:       checkKeys(),
		event:       eventKeys(),
		job:         jobKeys(),
		step:        caseKeys(),
	}
}

// KindDoc documents one kind of record: where its files lie and its keys.
type KindDoc struct {
	Name  string
	Files string
	Doc   string
	Keys  []KeyDoc
}

// Kinds documents every kind of record, in the order of the reference page.
func Kinds() []KindDoc {
	s := newSchema()
	return []KindDoc{
		{"site", SiteFile, "who keeps the records and by which policies they are judged", s.site.docs()},
		{"device", "devices/<id>.toml", "one measuring device; firmware, location and owner are those of its first day, later ones are events", s.device.docs()},
		{"artifact", "artifacts/<id>.toml", "one calibrated object that devices are checked with", s.artifact.docs()},
		{"certificate", "certificates/<subject>/<date>-<number>.toml", "one calibration certificate of an artifact (value tables) or a device (as-found and as-left tables)", s.certificate.docs()},
		{"procedure", "procedures/<id>.toml", "how a check is done, judged and charted", s.procedure.docs()},
		{"check", "checks/<device>/<yyyy>/<date>T<hhmm>-<procedure>.toml", "one intermediate check; date and time of the name are local ones", s.check.docs()},
		{"event", "events/<subject>/<date>-<kind>.toml", "what happened to a device or an artifact", s.event.docs()},
		{"job", "jobs/<yyyy>/<id>.toml", "delivered work that rests on a device's measurements; the year is that of its end", s.job.docs()},
		{"case", "cases/<case>/<date>T<hhmm>-<step>.toml", "one step of what is done about something found wrong; date and time of the name are local ones", s.step.docs()},
	}
}

// SidecarDoc documents the files that say what dropped ones are. They are no
// records.
func SidecarDoc() KindDoc {
	return KindDoc{"sidecar", "inbox/<file>.toml", "what a file dropped into the inbox is: a scan, or comma-separated values whose header row has feature and value, and may have unit and path, one reading a row; no record itself, and completed by the first [[drop]] of plumbrule.toml that fits the file's name", sidecarKeys().docs()}
}

// The forms of quantities, as the reference shows them.
const (
	uncertaintyForm = `uncertainty, "0.6 µm (k = 2)", "±0.5 µm (rectangular)" or "u = 0.3 µm"`
	expansionForm   = `relative expansion, "11.5e-6/K"`
	scaleForm       = `relative expansion, "11.5e-6/K", or "none"`
)

func quantityNames() []Quantity {
	var out []Quantity
	for _, q := range Quantities() {
		out = append(out, q.Name)
	}
	return out
}

func lengthUncertainty[T any](name, doc string, at func(*T) *quantity.LengthUncertainty) key[T] {
	return inText(name, uncertaintyForm, doc, quantity.ParseLengthUncertainty, at)
}

func calibrationKeys() *keys[CalibrationPlan] {
	return newKeys(
		text("not-required", "reason why the object needs no calibration; takes the place of interval", func(c *CalibrationPlan) *string { return &c.NotRequired }),
		period("interval", "time from one calibration to the next", func(c *CalibrationPlan) *quantity.Interval { return &c.Interval }),
		period("lead", "how long before the due date it is announced; the site's lead time otherwise", func(c *CalibrationPlan) *quantity.Interval { return &c.Lead }),
	)
}

func attachmentKeys() *keys[Attachment] {
	return newKeys(
		need(text("file", "path of the file, from the repository's root", func(a *Attachment) *string { return &a.File })),
		need(digest("sha256", "SHA-256 of the file", func(a *Attachment) *string { return &a.SHA256 })),
		size("size", "size of the file in bytes", func(a *Attachment) *int64 { return &a.Size }),
	)
}

// orOne lets a key of an array of tables be written as one table as well, as
// records did before there could be several. It is always written as an array.
func orOne[T, E any](k key[T], sub *keys[E], at func(*T) *[]E, line func(*E) *int) key[T] {
	several := k.read
	k.read = func(d *decoder, n source.Node, into *T) {
		if n.Kind() != source.Table {
			several(d, n, into)
			return
		}
		list := make([]E, 1)
		*line(&list[0]) = d.line(n.ValueOffset())
		readTable(d, n, sub, &list[0])
		*at(into) = list
	}
	return k
}

func attachmentTable[T any](name, doc string, at func(*T) **Attachment) key[T] {
	return optionalTable(name, doc, attachmentKeys(), at, nil)
}
