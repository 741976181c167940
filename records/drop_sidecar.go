package records

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records/quantity"
)

// Sidecar is what a TOML file in the inbox says of dropped ones: of the file
// whose name it has with .toml behind it, of the scans it lists, or, with
// readings of its own, of nothing but itself.
type Sidecar struct {
	File string

	Device, Artifact, Procedure, Revision, By string // empty: said by a pattern, see [Site.Drops]
	Time                                      time.Time
	Unit                                      string // of the scans' numbers or of the readings; empty: not said
	Compensated                               bool
	Purpose, Note                             string
	Scans                                     []string // names of files beside it, each one repeat of the check
	Conditions                                Conditions
	Paths                                     []FeaturePath
	Readings                                  []Reading
}

// SidecarSize is the size in bytes above which a sidecar is not read.
const SidecarSize = MaxFileSize

// ReadSidecar reads the text of a sidecar as strictly as a record. file is what
// diagnostics call it. With errors among them what could be understood is
// returned all the same, so that the files it belongs to are known.
func ReadSidecar(file string, text []byte) (*Sidecar, []Diagnostic) {
	r := &reader{decoder: decoder{findings: newFindings(), words: map[string]string{}}}
	s := &Sidecar{File: file}
	r.begin(file)
	if r.parse(text) {
		readTable(&r.decoder, r.doc.Root(), sidecarKeys(), s)
		r.listed(s)
	}
	SortDiagnostics(r.list)
	return s, r.list
}

// listed checks the names of scans: a sidecar reaches no further than the folder
// it lies in.
func (r *reader) listed(s *Sidecar) {
	for i, name := range s.Scans {
		at := top("scans").value(i).offset(r.doc)
		switch {
		case !goodPath(name) || !goodName(name):
			r.report("bad-path", at, fmt.Sprintf("%q is no name of a file beside this one", name), "write the name alone, without folders")
		case slices.Contains(s.Scans[:i], name):
			r.report("same-scan", at, fmt.Sprintf("%q is listed twice, and each repeat is a scan of its own", name), "delete one")
		}
	}
	if len(s.Scans) > 0 && len(s.Readings) > 0 {
		r.report("unknown-key", top("scans").offset(r.doc), "scans are listed and readings are given, and only one of them can be the check", "keep one of the two")
	}
}

// goodName reports whether a path is a name without folders.
func goodName(path string) bool {
	return !slices.Contains([]byte(path), '/')
}

// Or returns what the sidecar says, completed by a pattern that fits the dropped
// file: what both say is as the sidecar says.
func (s Sidecar) Or(d *Drop) Sidecar {
	for _, x := range []struct {
		mine *string
		its  string
	}{{&s.Device, d.Device}, {&s.Artifact, d.Artifact}, {&s.Procedure, d.Procedure}, {&s.By, d.By}, {&s.Unit, d.Unit}} {
		if *x.mine == "" {
			*x.mine = x.its
		}
	}
	s.Compensated = s.Compensated || d.Compensated
	if !s.Conditions.Stated {
		s.Conditions.ArtifactTemperature, s.Conditions.Stated = d.Conditions.ArtifactTemperature, d.Conditions.Stated
	}
	if s.Conditions.TemperatureUncertainty.IsZero() {
		s.Conditions.TemperatureUncertainty = d.Conditions.TemperatureUncertainty
	}
	if s.Conditions.DullingSpray.IsZero() {
		s.Conditions.DullingSpray = d.Conditions.DullingSpray
	}
	s.Paths = slices.Clone(s.Paths)
	for _, p := range d.Paths {
		if !slices.ContainsFunc(s.Paths, func(o FeaturePath) bool { return o.Feature == p.Feature }) {
			s.Paths = append(s.Paths, p)
		}
	}
	return s
}

func sidecarKeys() *keys[Sidecar] {
	return newKeys(
		ident("device", "device checked", func(s *Sidecar) *string { return &s.Device }),
		ident("artifact", "artifact used", func(s *Sidecar) *string { return &s.Artifact }),
		ident("procedure", "procedure followed", func(s *Sidecar) *string { return &s.Procedure }),
		text("revision", "revision of the procedure followed; the current one otherwise", func(s *Sidecar) *string { return &s.Revision }),
		instant("time", "when it was measured; otherwise the date and time in the first file's name, otherwise when that file was last written, and the check's note says which", func(s *Sidecar) *time.Time { return &s.Time }),
		text("by", "who measured", func(s *Sidecar) *string { return &s.By }),
		word("unit", "unit of the scans' numbers or of the readings; otherwise the file's own, otherwise the site's", units(), func(s *Sidecar) *string { return &s.Unit }),
		truth("compensated", "the readings, or lengths in the scans, are already those at 20 °C", func(s *Sidecar) *bool { return &s.Compensated }),
		word("purpose", "why, where it is not the routine check", []string{AsFoundCheck, AsLeftCheck, AcceptanceCheck}, func(s *Sidecar) *string { return &s.Purpose }),
		text("note", "anything else", func(s *Sidecar) *string { return &s.Note }),
		texts("scans", `list of names, ["bar-1.ply", "bar-2.ply"]`, "the scans of one check, in the order of its repeats; otherwise the one file that the sidecar's name tells", func(s *Sidecar) *[]string { return &s.Scans }),
		featurePaths("paths", "path travelled while measuring a feature; needed where the limit counts it", func(s *Sidecar) *[]FeaturePath { return &s.Paths }),
		table("conditions", "conditions that the evaluation needs; not needed for form alone, nor where the readings are compensated", conditionsKeys(), func(s *Sidecar) *Conditions { return &s.Conditions }, func(s *Sidecar) bool { return s.Conditions.given() }, nil),
		tables("reading", "what was indicated for one feature, where there is no scan", readingKeys(), func(s *Sidecar) *[]Reading { return &s.Readings }, func(r *Reading) *int { return &r.Line }),
	)
}

// Path returns the path that is said of a feature, beside its readings; zero for
// none.
func (s *Sidecar) Path(feature string) quantity.Length {
	i := slices.IndexFunc(s.Paths, func(p FeaturePath) bool { return p.Feature == feature })
	if i < 0 {
		return quantity.Length{}
	}
	return s.Paths[i].Path
}
