package records

import (
	"io"
	"strings"

	"plumbrule/records/source"
)

// peeked is what a file that is not in use says about itself.
type peeked struct {
	read   bool // it could be
	parsed bool
	keys   map[string]bool // at its top, in lower case
	told   []place         // what it names as its device or subject
}

// record reports whether the file is surely a record: it tells what it is
// about, and when it was entered, which every record says.
func (p *peeked) record() bool { return p.parsed && len(p.told) > 0 && p.keys["entered"] }

// peek tells what a file that is not in use is about.
func (l *loader) peek(file string) peeked {
	if l.peeks != nil {
		return l.peeks(file)
	}
	return l.look(file)
}

// look reads a file that is not in use for what it is about. Of a text that
// is not TOML the lines are taken that look like the keys that say so.
func (l *loader) look(file string) peeked {
	out := peeked{keys: map[string]bool{}}
	if l.closed[file] {
		return out
	}
	f, err := l.fsys.Open(file)
	if err != nil {
		return out
	}
	defer func() { _ = f.Close() }()
	data, err := io.ReadAll(io.LimitReader(f, MaxFileSize+1))
	if err != nil {
		return out
	}
	out.read = true
	var values []keyValue
	var parser source.Parser
	if len(data) <= MaxFileSize {
		if doc, fault := parser.Parse(data); fault == nil {
			out.parsed = true
			for n := range doc.Root().Children() {
				key := strings.ToLower(n.Key())
				out.keys[key] = true
				if text, ok := n.Text(); ok {
					values = append(values, keyValue{key, strings.Clone(text)})
				}
			}
		}
	}
	if !out.parsed {
		values = out.lines(string(data))
	}
	out.tell(meantPlace(file), values)
	return out
}

type keyValue struct{ key, value string }

// lines takes the lines of a text that look like the keys that say what a
// record is about.
func (p *peeked) lines(text string) []keyValue {
	var out []keyValue
	for line := range strings.Lines(text) {
		key, value, found := strings.Cut(line, "=")
		if key = strings.ToLower(strings.Trim(key, " \t\"'\ufeff")); !found || len(key) > longestWord {
			continue
		}
		p.keys[key] = true
		if key == "device" || key == "subject" || key == "case" {
			value = strings.TrimLeftFunc(value, func(r rune) bool { return !goodID(string(r)) })
			if end := strings.IndexFunc(value, func(r rune) bool { return !goodID("a" + string(r) + "a") }); end >= 0 {
				value = value[:end]
			}
			out = append(out, keyValue{key, value})
		}
	}
	return out
}

// tell derives from keys and values what the record is about. where is what its
// path says: records of some kinds have their id there alone, and are told by a
// key that only they need.
func (p *peeked) tell(where place, values []keyValue) {
	for _, v := range values {
		if v.value == "" {
			continue
		}
		switch v.key {
		case "device":
			p.told = append(p.told, place{kind: "check", subject: v.value})
		case "case":
			p.told = append(p.told, place{kind: "case", subject: v.value})
		case "subject":
			if p.keys["case"] {
				continue // whom the case is about; the record is the case's
			}
			kind := "event"
			if p.keys["number"] || p.keys["laboratory"] || where.kind == "certificate" {
				kind = "certificate"
			}
			p.told = append(p.told, place{kind: kind, subject: v.value})
		}
	}
	for _, k := range []struct{ key, kind string }{
		{"scale-expansion", "device"}, {"expansion-uncertainty", "artifact"}, {"artifact-kind", "procedure"}, {"measured", "job"},
	} {
		if p.keys[k.key] {
			p.told = append(p.told, place{kind: k.kind, subject: where.stem})
		}
	}
}
