package records

import (
	"fmt"

	"plumbrule/records/spelling"
)

// known finds devices, artifacts and procedures by id while records are checked
// against each other. One whose own file has errors is there with the value
// nil: what depends on it is then not checked, so that one fault is reported
// once.
type known struct {
	devices    map[string]*Device
	artifacts  map[string]*Artifact
	procedures map[string]*Procedure
	bad        map[string]bool // files with errors of their own
}

func (l *loader) newKnown() *known {
	told := &known{bad: map[string]bool{}}
	told.note(l.list)
	return l.knownBut(told.bad)
}

// knownBut finds the objects, those in bad files as unusable.
func (l *loader) knownBut(bad map[string]bool) *known {
	k := &known{devices: map[string]*Device{}, artifacts: map[string]*Artifact{}, procedures: map[string]*Procedure{}, bad: bad}
	for i, file := range l.files {
		record := l.records[i]
		if bad[file] {
			record = nil
		}
		p, _ := placeOf(file)
		switch p.kind {
		case "device":
			k.devices[p.subject], _ = record.(*Device)
		case "artifact":
			k.artifacts[p.subject], _ = record.(*Artifact)
		case "procedure":
			k.procedures[p.subject], _ = record.(*Procedure)
		}
	}
	return k
}

// note keeps which files have errors.
func (k *known) note(list []Diagnostic) {
	for i := range list {
		if list[i].Severity == Error {
			k.bad[list[i].File] = true
		}
	}
}

// checker checks records against each other; each worker has its own, and its
// findings are joined afterwards.
type checker struct {
	findings
	*known
	finder
	load *loader
	path []byte          // of the check at hand
	seen *lookups        // what was looked up; nil: nobody asks
	jobs map[string]bool // ids; nil: not looked for yet
}

func (l *loader) newChecker(k *known) *checker {
	return &checker{findings: findings{codes: l.codes}, known: k, finder: finder{fsys: l.fsys}, load: l}
}

// fault reports something about a spot in a file. An empty mend takes the
// catalogue's.
func (c *checker) fault(code, file string, at spot, message, mend string, related ...Place) {
	if c.enough(file, code) {
		return
	}
	position, excerpt := c.find(file, at)
	c.add(Diagnostic{Code: code, File: file, Position: position, Message: message, Mend: mend, Excerpt: excerpt, Related: related})
}

// place is another spot that takes part in a fault.
func (c *checker) place(file string, at spot, text string) Place {
	other := finder{fsys: c.fsys}
	position, _ := other.find(file, at)
	return Place{File: file, Position: position, Text: text}
}

// device returns the device, nil when it is unknown (reported) or unusable.
func (c *checker) device(id, file string, at spot) *Device {
	d, found := c.devices[id]
	if !found {
		unknown(c, "device", c.devices, id, file, at)
	}
	return d
}

func (c *checker) artifact(id, file string, at spot) *Artifact {
	a, found := c.artifacts[id]
	if !found {
		unknown(c, "artifact", c.artifacts, id, file, at)
	}
	return a
}

func (c *checker) procedure(id, file string, at spot) *Procedure {
	p, found := c.procedures[id]
	if !found {
		unknown(c, "procedure", c.procedures, id, file, at)
	}
	return p
}

// unknown reports an id without a file, unless the files of the kind could not
// be listed.
func unknown[T any](c *checker, kind string, known map[string]*T, id, file string, at spot) {
	c.seen.folder(kind + "s")
	if c.load.mayBeLost(kind + "s/" + id + suffix) {
		return
	}
	mend := ""
	if near := spelling.Nearest(id, sortedKeys(known)); near != "" {
		mend = fmt.Sprintf("did you mean %s?", near)
	}
	c.fault("unknown-"+kind, file, at, fmt.Sprintf("there is no %s %q", kind, id), mend)
}

// subject returns the device or the artifact of that id and its kind. The
// record is nil when it is unusable; the kind is empty when it is unknown
// (reported) or the id of both.
func (c *checker) subject(id, file string) (kind string, d *Device, a *Artifact) {
	d, isDevice := c.devices[id]
	a, isArtifact := c.artifacts[id]
	switch {
	case isDevice && isArtifact: // reported as duplicate-id
		return "", nil, nil
	case isDevice:
		return "device", d, nil
	case isArtifact:
		return "artifact", nil, a
	}
	c.seen.folder("artifacts")
	c.seen.folder("devices")
	switch {
	case c.load.mayBeLost("devices/" + id + suffix), c.load.mayBeLost("artifacts/" + id + suffix):
		return "", nil, nil
	}
	mend := "add devices/<id>.toml or artifacts/<id>.toml, or mend the id"
	if near := spelling.Nearest(id, append(sortedKeys(c.devices), sortedKeys(c.artifacts)...)); near != "" {
		mend = fmt.Sprintf("did you mean %s?", near)
	}
	c.fault("unknown-device", file, top("subject"), fmt.Sprintf("there is no device or artifact %q", id), mend)
	return "", nil, nil
}

// record finds a record by the path written in another one, with or without
// .toml. It returns nothing when there is none (reported), and no record when
// the one there is unusable.
func (c *checker) record(written, file string, at spot) (string, any) {
	for _, name := range []string{written, written + suffix} {
		c.seen.path(name)
		r, found := c.load.understood(name)
		switch {
		case c.bad[name]:
			return name, nil
		case found:
			return name, r
		}
	}
	if !c.load.mayBeLost(written) {
		c.fault("unknown-record", file, at, fmt.Sprintf("there is no record %q", written), "")
	}
	return "", nil
}

// feature returns the artifact's feature, and reports one it does not have.
func (c *checker) feature(a *Artifact, name, file string, at spot) *Feature {
	if f := a.Feature(name); f != nil {
		return f
	}
	var names []string
	for i := range a.Features {
		names = append(names, a.Features[i].Name)
	}
	mend := "the features of " + a.ID + " are " + listWords(names)
	if near := spelling.Nearest(name, names); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	c.fault("unknown-feature", file, at, fmt.Sprintf("artifact %s has no feature %q", a.ID, name), mend)
	return nil
}
