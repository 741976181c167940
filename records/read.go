package records

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// reader reads record files one after another; each worker has its own.
type reader struct {
	decoder
	fsys   fs.FS
	schema *schema
	parser source.Parser
	second func([]byte, *source.Document) error
	buffer []byte

	unseen *entry // of the file read, where an index does not know its identity yet
}

func (l *loader) newReader() *reader {
	return &reader{
		decoder: decoder{findings: findings{codes: l.codes}, words: map[string]string{}},
		fsys:    l.fsys, schema: l.schema, second: l.second,
		buffer: make([]byte, 0, 16<<10),
	}
}

// read reads one record file. What is wrong goes to the findings; the record
// is returned all the same as far as it could be understood, and nil when
// nothing could be.
func (r *reader) read(file string) any {
	if !r.open(file) {
		return nil
	}
	p, _ := placeOf(file)
	id := strings.Clone(p.stem)
	switch p.kind {
	case "device":
		return readRecord(r, r.schema.device, &Device{ID: id, File: file})
	case "artifact":
		return readRecord(r, r.schema.artifact, &Artifact{ID: id, File: file})
	case "procedure":
		return readRecord(r, r.schema.procedure, &Procedure{ID: id, File: file})
	case "certificate":
		return readRecord(r, r.schema.certificate, &Certificate{ID: id, File: file})
	case "check":
		return readRecord(r, r.schema.check, &Check{File: file})
	case "event":
		return readRecord(r, r.schema.event, &Event{ID: id, File: file})
	case "case":
		return readRecord(r, r.schema.step, &CaseStep{ID: id, File: file})
	default:
		return readRecord(r, r.schema.job, &Job{ID: id, File: file})
	}
}

func readRecord[T any](r *reader, k *keys[T], record *T) any {
	readTable(&r.decoder, r.doc.Root(), k, record)
	return record
}

// readSite reads plumbrule.toml.
func (l *loader) readSite() {
	if l.closed[SiteFile] {
		return
	}
	r := l.newReader()
	l.set.Site = r.site()
	l.list = append(l.list, r.list...)
}

// site reads plumbrule.toml as read does a record.
func (r *reader) site() *Site {
	if !r.open(SiteFile) {
		return nil
	}
	site := &Site{File: SiteFile}
	readTable(&r.decoder, r.doc.Root(), r.schema.site, site)
	if site.TimeZone != "" {
		r.zone(site)
	}
	return site
}

// zone finds the site's time zone.
func (r *reader) zone(site *Site) {
	var err error
	if site.Zone, err = calendar.Zone(site.TimeZone); err == nil {
		return
	}
	mend := ""
	if fault, ok := errors.AsType[*quantity.Error](err); ok {
		mend = fault.Mend
	}
	r.report("unknown-time-zone", top("time-zone").offset(r.doc), "time-zone is "+err.Error(), mend)
}

// open reads and parses the file, and reports what stands against it.
func (r *reader) open(file string) bool {
	r.begin(file)
	data, err := r.content()
	if err != nil {
		r.whole("file-unreadable", file, "the file cannot be read: "+plainReason(err), "")
		return false
	}
	return r.parse(data)
}

// parse reads the text of the file begun with.
func (r *reader) parse(data []byte) bool {
	file := r.file
	if len(data) > MaxFileSize {
		r.whole("file-too-large", file, fmt.Sprintf("the file is larger than %d kB", MaxFileSize>>10), "")
		return false
	}
	doc, fault := r.parser.Parse(data)
	if fault != nil {
		r.add(Diagnostic{
			Code: codeOf(fault.Reason), File: file, Position: fault.Pos,
			Message: fault.Message, Mend: fault.Mend, Excerpt: source.Excerpt(string(data), fault.Offset),
		})
		return false
	}
	r.doc = doc
	if doc.HasBOM {
		r.report("byte-order-mark", 0, "the file starts with a byte order mark", "")
	}
	if doc.HasCRLF {
		r.report("crlf-line-ends", strings.Index(doc.Text(), "\r\n"), "the line ends with carriage return and line feed", "")
	}
	if r.second != nil {
		if err := r.second(data, doc); err != nil {
			r.whole("readers-disagree", file, err.Error(), "")
			return false
		}
	}
	return true
}

// content reads the file into the reader's buffer, at most one byte more than
// a record may have.
func (r *reader) content() ([]byte, error) {
	f, err := r.fsys.Open(r.file)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	r.buffer = r.buffer[:0]
	if r.unseen != nil {
		r.unseen.see(f)
	}
	for len(r.buffer) <= MaxFileSize {
		if len(r.buffer) == cap(r.buffer) {
			r.buffer = append(r.buffer, 0)[:len(r.buffer)]
		}
		n, err := f.Read(r.buffer[len(r.buffer):cap(r.buffer)])
		r.buffer = r.buffer[:len(r.buffer)+n]
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
	}
	return r.buffer, nil
}

// codeOf returns the diagnostic code of a refusal by the TOML reader.
func codeOf(r source.Reason) string {
	switch r {
	case source.DuplicateKey:
		return "duplicate-key"
	case source.NeedsTOML11:
		return "toml-1.1"
	case source.NotUTF8, source.UTF16:
		return "not-utf-8"
	case source.ControlCharacter:
		return "control-character"
	case source.MergeConflict:
		return "merge-conflict"
	case source.TooDeep:
		return "too-deep"
	case source.TooLarge:
		return "file-too-large"
	case source.Syntax:
	}
	return "toml-syntax"
}
