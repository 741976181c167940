package records

import (
	"io/fs"
	"path"
	"strings"
)

// ReadArtifact reads one file as an artifact, wherever it lies: the scan of an artifact can be evaluated without a
// repository. Diagnostics name the file as given; with errors among them there is no artifact.
func ReadArtifact(fsys fs.FS, file string) (*Artifact, []Diagnostic) {
	l := newLoader(fsys, Options{})
	r := l.newReader()
	if !r.open(file) {
		return nil, r.list
	}
	a := &Artifact{ID: strings.TrimSuffix(path.Base(file), ".toml"), File: file}
	readTable(&r.decoder, r.doc.Root(), l.schema.artifact, a)
	SortDiagnostics(r.list)
	if HasErrors(r.list) {
		return nil, r.list
	}
	return a, r.list
}

// ReadSite reads the settings of the repository at the root of fsys, and nothing else. With errors among the diagnostics there
// are none.
func ReadSite(fsys fs.FS) (*Site, []Diagnostic) {
	l := newLoader(fsys, Options{})
	r := l.newReader()
	site := r.site()
	SortDiagnostics(r.list)
	if HasErrors(r.list) {
		return nil, r.list
	}
	return site, r.list
}
