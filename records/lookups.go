package records

import (
	"io/fs"
)

// lookups note what the check of a record looked up besides the devices,
// artifacts and procedures that it names: when none of it changes, nor these,
// the check comes to the same. Nil notes nothing.
type lookups struct {
	paths   []string           // of records, and of what lies on the disk
	folders []string           // whose lists of records were looked at
	onDisk  map[string]glimpse // what lay on the disk before it was looked at
}

func (s *lookups) path(name string) {
	if s != nil {
		s.paths = append(s.paths, name)
	}
}

func (s *lookups) folder(name string) {
	if s != nil {
		s.folders = append(s.folders, name)
	}
}

// notingFS is a file system that notes what is looked at.
type notingFS struct {
	inner   fs.FS
	seen    *lookups
	glimpse func(name string) glimpse
}

func (n notingFS) note(name string) {
	if _, found := n.seen.onDisk[name]; found {
		return
	}
	n.seen.path(name)
	if n.seen.onDisk == nil {
		n.seen.onDisk = map[string]glimpse{}
	}
	n.seen.onDisk[name] = n.glimpse(name)
}

// Open makes notingFS an [fs.FS].
func (n notingFS) Open(name string) (fs.File, error) {
	n.note(name)
	return n.inner.Open(name)
}

// Lstat makes notingFS, with ReadLink, an [fs.ReadLinkFS].
func (n notingFS) Lstat(name string) (fs.FileInfo, error) {
	n.note(name)
	return fs.Lstat(n.inner, name)
}

// ReadLink makes notingFS, with Lstat, an [fs.ReadLinkFS].
func (n notingFS) ReadLink(name string) (string, error) {
	n.note(name)
	return fs.ReadLink(n.inner, name)
}
