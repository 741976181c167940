package inbox

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
)

// errGone means that a dropped file is not there any more, or is another one, and
// that nothing was recorded of it.
var errGone = errors.New("it was taken away or replaced before it was taken in, and nothing was recorded")

// carryOut does what an intent says, and tells.
func (l *look) carryOut(in *intent) {
	key := intentKey(in)
	switch err := l.carry(in); {
	case errors.Is(err, errGone), errors.Is(err, errOccupied):
		// Nothing was recorded. What was copied to the archive stays there: it is found when the file is taken in anew.
		if err := l.forget(in); err != nil {
			l.hold(in)
			l.trouble(key, in.names(), plain(err))
			return
		}
		l.trouble(in.Originals[0].Name, in.names(), err.Error())
	case err != nil:
		l.hold(in)
		l.trouble(key, in.names(), err.Error())
	default:
		delete(l.rests, key)
		delete(l.rests, in.Originals[0].Name)
		l.tell(in)
	}
}

// tell reports what was taken in, and remembers it until the records are read
// again.
func (l *look) tell(in *intent) {
	sidecar := ""
	if in.Sidecar != nil {
		sidecar = in.Sidecar.To
	}
	for _, o := range in.Originals {
		l.taken[o.SHA256] = in.Record
		l.report.Taken = append(l.report.Taken, Taken{
			File: o.Name, Record: in.Record, Digest: o.SHA256, Device: in.Device, By: in.By, Archived: o.To, Sidecar: sidecar, Remarks: in.Remarks,
		})
	}
}

// carry does the steps of an intent, each of which may have been done before.
func (b *Inbox) carry(in *intent) error {
	recorded, err := b.recorded(in)
	if err != nil {
		return fmt.Errorf("%s: %s", in.Record, plain(err))
	}
	for i := range in.Originals {
		err := b.bring(&in.Originals[i])
		if recorded && (errors.Is(err, errGone) || errors.Is(err, errOccupied)) {
			err = nil // it was there when the record was written, and is somebody else's care since
		}
		if err != nil {
			return b.towards(&in.Originals[i], err)
		}
	}
	if err := b.bringSidecar(in, recorded); err != nil {
		return b.towards(in.Sidecar, err)
	}
	if !recorded {
		if err := b.record(in); err != nil {
			return fmt.Errorf("%s: %s", in.Record, plain(err))
		}
		if b.settings.Wrote != nil {
			b.settings.Wrote(in.Record)
		}
	}
	if err := b.clear(in); err != nil {
		return fmt.Errorf("%s is written, and what it was made from cannot be taken out of the inbox: %s", in.Record, plain(err))
	}
	return b.forget(in)
}

// towards says where a file could not be brought.
func (b *Inbox) towards(c *carried, err error) error {
	if errors.Is(err, errGone) {
		return err
	}
	return fmt.Errorf("it cannot be put to %s: %w", c.To, err)
}

// recorded reports whether the record of an intent is written.
func (b *Inbox) recorded(in *intent) (bool, error) {
	there, err := b.digest(b.inside(in.Record))
	switch {
	case err == nil:
		if there == digestOf([]byte(in.Text)) {
			return true, nil
		}
	case !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, errIrregular):
		return false, err
	}
	// It may have been moved, or corrected by hand, since it was written.
	record, known := b.known(in.Originals[0].SHA256)
	if known {
		in.Record = record
	}
	return known, nil
}

// record writes the record. A name that somebody else has taken meanwhile is left
// to him; the new one is noted before it is used.
func (b *Inbox) record(in *intent) error {
	for {
		err := b.place(b.inside(in.Record), digestOf([]byte(in.Text)), written([]byte(in.Text)))
		if !errors.Is(err, errOccupied) {
			return err
		}
		in.Record = b.free(in.Want)
		if err := b.note(in); err != nil {
			return err
		}
	}
}

// bring copies a file of the inbox to its place.
func (b *Inbox) bring(c *carried) error {
	err := b.place(b.inside(c.To), c.SHA256, func() (io.ReadCloser, error) { return b.disk.open(b.dropped(c.Name)) })
	switch {
	case errors.Is(err, errChanged), errors.Is(err, errIrregular):
		return errGone
	case errors.Is(err, fs.ErrNotExist):
		if _, there := b.disk.lstat(b.dropped(c.Name)); errors.Is(there, fs.ErrNotExist) {
			return errGone
		}
	}
	return err
}

// bringSidecar copies the sidecar to a free name beside the first original.
func (b *Inbox) bringSidecar(in *intent, recorded bool) error {
	if in.Sidecar == nil {
		return nil
	}
	for n := 1; ; n++ {
		in.Sidecar.To = in.Originals[0].To + sidecarSuffix(n)
		switch err := b.bring(in.Sidecar); {
		case errors.Is(err, errGone) && recorded:
			return nil
		case !errors.Is(err, errOccupied):
			return err
		}
	}
}

// sidecarSuffix is put behind the name of an original for what was said of it. It
// does not end in .toml: it is no record, and nobody is to take it for one.
func sidecarSuffix(n int) string {
	if n == 1 {
		return ".toml.txt"
	}
	return "-" + strconv.Itoa(n) + ".toml.txt"
}

// dropped is where a file of the inbox lies.
func (b *Inbox) dropped(name string) string { return (&look{Inbox: b}).path(name) }

// clear takes the files of an intent out of the inbox, the originals last. What
// has come there under their names since is another drop: where none of the
// originals is left, neither is what was said of them, however alike it looks.
func (b *Inbox) clear(in *intent) error {
	var left []carried
	for i := range in.Originals {
		is, err := b.isStill(&in.Originals[i])
		if err != nil {
			return err
		}
		if is {
			left = append(left, in.Originals[i])
		}
	}
	if len(left) == 0 {
		return nil
	}
	names := slices.Clone(in.Marks)
	if in.Sidecar != nil {
		is, err := b.isStill(in.Sidecar)
		if err != nil {
			return err
		}
		if is {
			names = append(names, in.Sidecar.Name)
		}
	}
	for i := range left {
		names = append(names, left[i].Name)
	}
	for _, name := range names {
		if err := b.disk.remove(b.dropped(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return b.disk.settle(b.dropped(""))
}

// isStill reports whether the file that was brought away lies in the inbox.
func (b *Inbox) isStill(c *carried) (bool, error) {
	info, err := b.disk.lstat(b.dropped(c.Name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case c.info != nil:
		return same(info, c.info), nil
	case !info.Mode().IsRegular():
		return false, nil
	}
	digest, err := b.digest(b.dropped(c.Name))
	return err == nil && digest == c.SHA256, err
}
