package inbox

import (
	"context"
	"io/fs"
	"time"

	"plumbrule/records"
)

// Take makes the record of a check from dropped files. It writes nothing. A
// [*Refusal] says that the files can become no record; any other error that they
// cannot now.
type Take func(ctx context.Context, d Drop) (Made, error)

// Drop is what was dropped together and becomes one check.
type Drop struct {
	// Files are the originals: the scans in the order of the repeats, an export, or
	// a sidecar with readings of its own.
	Files []File
	Said  records.Sidecar // what is said of them
}

// File is one dropped file.
type File struct {
	Name     string // in the inbox, without folders; it has no control characters
	Path     string // where it lies
	SHA256   string // in hexadecimal
	Size     int64  // bytes
	Modified time.Time

	info fs.FileInfo
}

// Made is the record that is to be written.
type Made struct {
	Record string // path inside the repository; another one is taken if this is not free any more
	Text   []byte
	Device string
	// To is where each of the drop's files goes: a path inside the repository, or an
	// absolute one. What lies there must be the same file, or nothing.
	To      []string
	Remarks []string
}

// Refusal says why files can become no record.
type Refusal struct {
	What  string // a sentence without full stop
	Where string // file:line:column, or empty
	Mend  string // what would mend it, without full stop
	// Findings are diagnostics, each as printed for people.
	Findings []string
}

// Error returns what is wrong.
func (r *Refusal) Error() string { return r.What }
