package records

import (
	"bytes"
	"fmt"

	"plumbrule/records/source"
)

// Encode writes a record (a pointer to [Site], [Device], [Artifact] …) as the
// text of its file: TOML 1.0, keys in the order of the reference, quantities in
// canonical form. Reading the text gives an equal record but for file, id and
// lines. What could not be read back is refused with an error: a needed key
// that is missing, a figure that is not finite, text that is not UTF-8.
func Encode(record any) ([]byte, error) {
	s := newSchema()
	switch r := record.(type) {
	case *Site:
		return encode(s.site, r)
	case *Device:
		return encode(s.device, r)
	case *Artifact:
		return encode(s.artifact, r)
	case *Certificate:
		return encode(s.certificate, r)
	case *Procedure:
		return encode(s.procedure, r)
	case *Check:
		return encode(s.check, r)
	case *Event:
		return encode(s.event, r)
	case *Job:
		return encode(s.job, r)
	case *CaseStep:
		return encode(s.step, r)
	}
	return nil, fmt.Errorf("%T is no record", record)
}

func encode[T any](k *keys[T], record *T) ([]byte, error) {
	var w writer
	writeTable(&w, k, record)
	text := bytes.TrimLeft(w.b.Bytes(), "\n")
	if err := legible(k, text); err != nil {
		return nil, fmt.Errorf("the record cannot be written so that it can be read: %w", err)
	}
	return text, nil
}

// legible reads a text as a record of that kind and returns the first fault.
func legible[T any](k *keys[T], text []byte) error {
	var p source.Parser
	doc, fault := p.Parse(text)
	if fault != nil {
		return fault
	}
	d := decoder{findings: newFindings(), words: map[string]string{}}
	d.begin("")
	d.doc = doc
	readTable(&d, doc.Root(), k, new(T))
	if len(d.list) > 0 {
		return fmt.Errorf("%s", d.list[0].Message)
	}
	return nil
}
