package inbox

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
)

// spokenOf is the group of a sidecar: the files it speaks of, as far as they are
// there.
func (l *look) spokenOf(f *seen, originals map[string]*seen) *group {
	g := &group{sidecar: f}
	base, _ := cutEnding(f.name, sidecarEnding)
	own := originals[base]
	if own != nil {
		g.files = []*seen{own}
	}
	if !g.whole() {
		return g // what it says may change
	}
	text, digest, err := l.text(f)
	switch {
	case errors.Is(err, errLarge):
		g.fault = &Refusal{What: fmt.Sprintf("the sidecar %s is larger than %d kB", show.Text(f.name), records.SidecarSize>>10), Mend: "a sidecar is a short text; explain sidecar lists its keys"}
		return g
	case err != nil:
		g.trouble = "the sidecar cannot be read: " + plain(err)
		return g
	}
	said, list := records.ReadSidecar(path.Join(Folder, f.name), text)
	g.said, g.digest = *said, digest
	missing := g.listed(said.Scans, originals)
	switch {
	case records.HasErrors(list):
		g.fault = unreadableSidecar(f.name, list)
	case own != nil && len(said.Scans) > 0 && !slices.Contains(said.Scans, base):
		g.fault = &Refusal{What: fmt.Sprintf("the sidecar %s lists scans, and not the file %s whose name it has", show.Text(f.name), show.Text(base)), Mend: "add it to scans, or give the sidecar another name"}
	case missing != "":
		g.fault, g.patient = &Refusal{What: fmt.Sprintf("%s lists %s, which has not come within %s", show.Text(f.name), show.Text(missing), spoken(l.patience())), Mend: "drop all of them together with the sidecar"}, true
	case len(g.files) == 0 && len(said.Readings) > 0:
		g.files, g.sidecar = []*seen{f}, nil // it is the original itself
	case len(g.files) == 0:
		g.fault, g.patient = &Refusal{
			What: fmt.Sprintf("no file %s has come within %s, and it has no readings of its own", show.Text(base), spoken(l.patience())),
			Mend: "drop the scan with it; a sidecar is called like the file it speaks of, with " + sidecarEnding + " behind it, or lists scans",
		}, true
	}
	if g.fault == nil {
		if d, ok := l.pattern(g.files[0].name); ok {
			g.said = g.said.Or(&d)
		}
	}
	return g
}

// listed puts the scans that a sidecar lists into their order, and returns the
// first that is not there. The file whose name the sidecar has stays in any case.
func (g *group) listed(scans []string, originals map[string]*seen) (missing string) {
	if len(scans) == 0 {
		return ""
	}
	own := g.files
	g.files = nil
	for _, name := range scans {
		switch f := originals[name]; {
		case f != nil && !slices.Contains(g.files, f):
			g.files = append(g.files, f)
		case f == nil && missing == "":
			missing = name
		}
	}
	for _, f := range own {
		if !slices.Contains(g.files, f) {
			g.files = append(g.files, f)
		}
	}
	return missing
}

// unreadableSidecar refuses what cannot be read, with all that is wrong.
func unreadableSidecar(name string, list []records.Diagnostic) *Refusal {
	r := &Refusal{What: fmt.Sprintf("the sidecar %s cannot be used", show.Text(name)), Mend: "mend what is listed; explain sidecar lists its keys"}
	for _, d := range list {
		if d.Severity != records.Error {
			continue
		}
		if r.Where == "" {
			r.Where = fmt.Sprintf("%s:%d:%d", show.Text(d.File), d.Position.Line, d.Position.Column)
			r.What += ": " + show.Text(d.Message)
		}
		r.Findings = append(r.Findings, d.String())
	}
	return r
}

var errLarge = errors.New("it is too large")

// text reads a sidecar, and its SHA-256.
func (l *look) text(f *seen) (text []byte, digest string, err error) {
	in, err := l.disk.open(l.path(f.name))
	if err != nil {
		return nil, "", err
	}
	defer func() { _ = in.Close() }()
	text, err = io.ReadAll(io.LimitReader(in, records.SidecarSize+1))
	switch {
	case err != nil:
		return nil, "", err
	case len(text) > records.SidecarSize:
		return nil, "", errLarge
	}
	if info, err := in.Stat(); err != nil || !same(info, f.info) || info.Size() != int64(len(text)) {
		return nil, "", errors.Join(errChanged, err)
	}
	return text, digestOf(text), nil
}

// irregular names what is no ordinary file.
func irregular(mode fs.FileMode) string {
	switch {
	case mode&fs.ModeSymlink != 0:
		return "a symbolic link"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	}
	return "a device"
}
