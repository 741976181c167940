package inbox

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
)

// errChanged means that a file was written to, or another one took its place,
// while it was read.
var errChanged = errors.New("it has changed while it was read")

func digestOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// identify reads a file of the inbox for its SHA-256 and size. It must be the one
// looked at, before and after.
func (l *look) identify(f *seen) (File, error) {
	in, err := l.disk.open(l.path(f.name))
	if err != nil {
		return File{}, err
	}
	defer func() { _ = in.Close() }()
	hash := sha256.New()
	n, err := io.Copy(hash, in)
	if err != nil {
		return File{}, err
	}
	info, err := in.Stat()
	if err != nil || !same(info, f.info) || n != info.Size() {
		return File{}, errors.Join(errChanged, err)
	}
	return File{
		Name: f.name, Path: l.path(f.name), SHA256: hex.EncodeToString(hash.Sum(nil)), Size: n, Modified: info.ModTime(), info: info,
	}, nil
}

// digest returns the SHA-256 of any file.
func (b *Inbox) digest(name string) (string, error) {
	in, err := b.disk.open(name)
	if err != nil {
		return "", err
	}
	defer func() { _ = in.Close() }()
	hash := sha256.New()
	if _, err := io.Copy(hash, in); err != nil {
		return "", err
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}

// plain leaves out of an error of the system what the report says already.
func plain(err error) string {
	if path, ok := errors.AsType[*fs.PathError](err); ok {
		return path.Err.Error()
	}
	if link, ok := errors.AsType[*os.LinkError](err); ok {
		return link.Err.Error()
	}
	return err.Error()
}
