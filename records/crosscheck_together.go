package records

import (
	"fmt"
	"hash/maphash"
	"strings"
)

// together checks what concerns several records at once. Where two contradict
// each other, both are reported: nothing says which one is right. It returns
// which file corrects which, as corrections does.
func (c *checker) together() map[string]string {
	c.serials()
	c.ids()
	c.spellings()
	c.reviews()
	return c.corrections()
}

// each yields the files and their records as far as they have no errors of
// their own.
func (c *checker) each(yield func(string, any) bool) {
	for i, r := range c.load.records {
		if file := c.load.files[i]; r != nil && !c.bad[file] && !yield(file, r) {
			return
		}
	}
}

// serials finds devices and artifacts with the same maker and serial number.
func (c *checker) serials() {
	type object struct{ file, maker string }
	seen := map[string][]object{}
	for file, r := range c.each {
		var maker, serial string
		switch r := r.(type) {
		case *Device:
			maker, serial = r.Maker, r.Serial
		case *Artifact:
			maker, serial = r.Maker, r.Serial
		default:
			continue
		}
		key := strings.ToLower(strings.TrimSpace(serial))
		for _, o := range seen[key] {
			if o.maker == "" || maker == "" || strings.EqualFold(o.maker, maker) {
				c.both("duplicate-serial", file, o.file, top("serial"), fmt.Sprintf("serial number %q stands in another file as well", serial))
			}
		}
		seen[key] = append(seen[key], object{file, maker})
	}
}

// both reports the same fault for each of two files, with the other beside it.
func (c *checker) both(code, file, other string, at spot, message string) {
	c.fault(code, file, at, message, "", c.place(other, at, "the other one"))
	c.fault(code, other, at, message, "", c.place(file, at, "the other one"))
}

// ids finds devices and artifacts that share an id, and jobs of two years that
// do.
func (c *checker) ids() {
	seen := map[string]string{}
	for _, file := range c.load.files {
		p, _ := placeOf(file)
		group := "object "
		switch p.kind {
		case "device", "artifact":
		case "job":
			group = "job "
		default:
			continue
		}
		key := group + p.subject
		if other, found := seen[key]; found {
			c.both("duplicate-id", file, other, spot{}, fmt.Sprintf("the id %s is that of another file as well", p.subject))
			continue
		}
		seen[key] = file
	}
}

// spellings finds paths that differ only in upper and lower case and are one
// file on some systems.
func (c *checker) spellings() {
	seed := maphash.MakeSeed()
	seen := make(map[uint64]string, len(c.load.files))
	var lower []byte
	for _, file := range c.load.files {
		lower = appendLower(lower[:0], file)
		key := maphash.Bytes(seed, lower)
		if other, found := seen[key]; found && strings.EqualFold(file, other) {
			c.both("duplicate-id", file, other, spot{}, "the path differs from another one only in upper and lower case")
			continue
		}
		seen[key] = file
	}
}

// appendLower writes a path with its letters A to Z in lower case.
func appendLower(b []byte, file string) []byte {
	for i := range len(file) {
		c := file[i]
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		b = append(b, c)
	}
	return b
}

// corrections finds records that two others correct, and corrections that lead
// back to themselves, in which case none would be left. It returns the files
// that correct, by the file that is corrected, without suffix.
func (c *checker) corrections() map[string]string {
	corrects := map[string]string{}
	for file, r := range c.each {
		amended := strings.TrimSuffix(amendedBy(r), suffix)
		if amended == "" {
			continue
		}
		if other, found := corrects[amended]; found {
			c.both("amended-twice", file, other, top("amends"), amended+" is corrected by another record as well")
			continue
		}
		corrects[amended] = file
	}
	for _, file := range corrects {
		next := corrects[strings.TrimSuffix(file, suffix)]
		if next == file {
			continue // a record that corrects itself is reported where it is checked alone
		}
		for steps := len(corrects); next != "" && next != file && steps > 0; steps-- {
			next = corrects[strings.TrimSuffix(next, suffix)]
		}
		if next == file {
			c.fault("amends-other", file, top("amends"), "the corrections lead in a circle, and none of the records would count", "name the record that this one corrects")
		}
	}
	return corrects
}

// amendedBy returns the path of the record that r corrects.
func amendedBy(r any) string {
	switch r := r.(type) {
	case *Check:
		return r.Amends
	case *Certificate:
		return r.Amends
	case *Event:
		return r.Amends
	case *Job:
		return r.Amends
	case *CaseStep:
		return r.Amends
	}
	return ""
}

// reviews finds certificates with two reviews that do not amend each other.
func (c *checker) reviews() {
	type review struct {
		file string
		at   spot
	}
	seen := map[string]review{}
	for file, r := range c.each {
		if v, ok := r.(*Certificate); ok && v.Review != nil {
			seen[strings.TrimSuffix(file, suffix)] = review{file, top("review")}
		}
	}
	for file, r := range c.each {
		e, ok := r.(*Event)
		if !ok || e.Kind != CertificateRead || e.Amends != "" {
			continue
		}
		key := strings.TrimSuffix(e.Certificate, suffix)
		if other, found := seen[key]; found {
			c.fault("reviewed-twice", file, top("certificate"), key+" is reviewed already", "", c.place(other.file, other.at, "the other review"))
			continue
		}
		seen[key] = review{file, top("certificate")}
	}
}
