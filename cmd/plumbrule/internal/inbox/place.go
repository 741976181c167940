package inbox

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"path/filepath"
)

// errOccupied means that something else lies where a file was to go.
var errOccupied = errors.New("another file lies there")

// place puts a content under a name that is free, complete and on the disk or not
// at all. The content must have the digest. A file with the same content is as
// good; another one is never touched, see [errOccupied].
func (b *Inbox) place(name, digest string, content func() (io.ReadCloser, error)) error {
	folder := filepath.Dir(name)
	switch there, err := b.digest(name); {
	case err == nil && there == digest:
		_ = b.disk.remove(draft(name)) // left where a file is moved in two steps
		return b.disk.settle(folder)
	case err == nil, errors.Is(err, errIrregular):
		return errOccupied
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if err := b.folders(folder); err != nil {
		return err
	}
	draft := draft(name)
	if err := b.fill(draft, digest, content); err != nil {
		_ = b.disk.remove(draft) // it takes room that may be missing; the next attempt begins with it
		return err
	}
	switch err := b.disk.move(draft, name); {
	case errors.Is(err, fs.ErrExist):
		_ = b.disk.remove(draft)
		if there, err := b.digest(name); err != nil || there != digest {
			return errOccupied
		}
	case err != nil:
		return err
	}
	return b.disk.settle(folder)
}

// draftStart begins the names of drafts.
const draftStart = ".new-"

// draft is where a file is written before it has its name: always at the same
// place, so that a draft left behind is found.
func draft(name string) string {
	return filepath.Join(filepath.Dir(name), draftStart+digestOf([]byte(filepath.Base(name)))[:16])
}

// fill writes the draft and waits until it is on the disk.
func (b *Inbox) fill(draft, digest string, content func() (io.ReadCloser, error)) (err error) {
	if err := b.disk.remove(draft); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	in, err := content()
	if err != nil {
		return err
	}
	defer func() { _ = in.Close() }()
	out, err := b.disk.create(draft)
	if err != nil {
		return err
	}
	hash := sha256.New()
	_, err = io.Copy(out, io.TeeReader(in, hash))
	if err == nil {
		err = out.Sync()
	}
	if err = errors.Join(err, out.Close()); err != nil {
		return err
	}
	if hex.EncodeToString(hash.Sum(nil)) != digest {
		return errChanged
	}
	return nil
}

// written returns a text as the content of a file.
func written(text []byte) func() (io.ReadCloser, error) {
	return func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(text)), nil }
}

// overwrite writes a file of the inbox's own, in the place of an older one.
func (b *Inbox) overwrite(name string, text []byte) error {
	folder, digest := filepath.Dir(name), digestOf(text)
	if err := b.folders(folder); err != nil {
		return err
	}
	draft := draft(name)
	if err := b.fill(draft, digest, written(text)); err != nil {
		_ = b.disk.remove(draft)
		return err
	}
	if err := b.disk.replace(draft, name); err != nil {
		return err
	}
	return b.disk.settle(folder)
}
