package records

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// attachment checks the path of an attachment.
func (c *checker) attachment(a *Attachment, file, table string) bool {
	if a == nil {
		return false
	}
	if !goodPath(a.File) {
		c.fault("bad-path", file, in(table, "file"), fmt.Sprintf("%q is no path inside the repository", a.File), "")
		return false
	}
	return true
}

// evidenceAttached checks that the attachment of a certificate is there, and
// where that is asked, that it is the one recorded.
func (c *checker) evidenceAttached(a *Attachment, file, table string) {
	if !c.attachment(a, file, table) {
		return
	}
	name, size, why := c.ordinaryFile(a.File)
	if why != "" {
		mend := ""
		if name != "" {
			mend = "put the file itself there"
		}
		c.fault("attachment-missing", file, in(table, "file"), why, mend)
		return
	}
	if c.load.options.Attachments {
		c.sameAttachment(a, name, size, file, table)
	}
}

// ordinaryFile follows links within the repository to a file and returns its
// name and its size in bytes, or why there is no such file: with a name where
// something else is there. It opens nothing: opening a pipe may never end.
func (c *checker) ordinaryFile(written string) (name string, size int64, why string) {
	name = written
	for range 8 {
		for i := range len(name) {
			if name[i] != '/' {
				continue
			}
			if info, err := fs.Lstat(c.fsys, name[:i]); err == nil && info.Mode()&fs.ModeSymlink != 0 {
				return name, 0, fmt.Sprintf("%s lies behind the symbolic link %s, which need not lead to the same place everywhere", written, name[:i])
			}
		}
		info, err := fs.Lstat(c.fsys, name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return "", 0, written + " is not in the repository"
		case err != nil:
			return "", 0, fmt.Sprintf("%s cannot be looked at: %s", written, plainReason(err))
		case info.Mode().IsRegular():
			return name, info.Size(), ""
		case info.Mode()&fs.ModeSymlink == 0:
			return name, 0, written + " is " + irregularKind(info.Mode())
		}
		target, err := fs.ReadLink(c.fsys, name)
		if err != nil {
			return name, 0, fmt.Sprintf("%s is a symbolic link that cannot be read: %s", written, plainReason(err))
		}
		if name = path.Join(path.Dir(name), target); path.IsAbs(target) || !fs.ValidPath(name) {
			return written, 0, fmt.Sprintf("%s is a symbolic link out of the repository, to %s", written, target)
		}
	}
	return written, 0, written + " is a symbolic link that leads to no file"
}

// sameAttachment compares an attachment with the size and the digest recorded.
func (c *checker) sameAttachment(a *Attachment, name string, size int64, file, table string) {
	digest, pointed, err := c.digest(name, size)
	switch {
	case err != nil:
		c.fault("attachment-missing", file, in(table, "file"), fmt.Sprintf("%s cannot be read: %s", a.File, plainReason(err)), "")
	case digest != a.SHA256:
		c.fault("attachment-differs", file, in(table, "sha256"), fmt.Sprintf("%s is another file than the one recorded: its SHA-256 is %s", a.File, digest), "")
	case pointed:
		c.fault("attachment-missing", file, in(table, "file"), a.File+" is only the pointer to a file in large-file storage", "fetch the file itself")
	case a.Size != 0 && a.Size != size:
		c.fault("attachment-differs", file, in(table, "size"), fmt.Sprintf("%s has %d bytes, and its digest is the one recorded", a.File, size), "correct the size recorded")
	}
}

// A pointer that stands for a file in large-file storage is a short text that
// starts like this and names the file's digest (Git LFS specification, version
// 1).
const (
	pointerStart  = "version https://git-lfs.github.com/spec/v1\n"
	pointerDigest = "oid sha256:"
	longestOne    = 1024
)

// digest returns the SHA-256 of a file, or that of the file it is a pointer to.
func (c *checker) digest(name string, size int64) (digest string, pointed bool, err error) {
	f, err := c.fsys.Open(name)
	if err != nil {
		return "", false, err
	}
	defer func() { _ = f.Close() }()
	hash, start := sha256.New(), new(strings.Builder)
	var into io.Writer = hash
	if size <= longestOne {
		into = io.MultiWriter(hash, start)
	}
	if _, err := io.Copy(into, f); err != nil {
		return "", false, err
	}
	if text, found := strings.CutPrefix(start.String(), pointerStart); found {
		for line := range strings.Lines(text) {
			if oid, found := strings.CutPrefix(line, pointerDigest); found {
				return strings.TrimSpace(oid), true, nil
			}
		}
	}
	return hex.EncodeToString(hash.Sum(nil)), false, nil
}
