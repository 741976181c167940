package inbox

import (
	"errors"
	"fmt"
	"io/fs"

	"plumbrule/cmd/plumbrule/internal/show"
)

// settle decides what becomes of a group, and does it.
func (l *look) settle(g *group) {
	for _, f := range g.all() {
		if l.busy[f.name] {
			return // of an intent that waits for better times
		}
	}
	stable := g.since().Add(l.settings.Stable)
	late := g.since().Add(l.patience())
	switch {
	case !g.whole():
		for _, f := range g.all() {
			if f.whole {
				l.wait(f.name, "what belongs to it is still being written", stable)
			} else {
				l.wait(f.name, "it is still being written", stable)
			}
		}
	case g.waits != "":
		for _, f := range g.all() {
			l.wait(f.name, g.waits, l.now.Add(retryAfter))
		}
	case g.trouble != "":
		l.trouble(g.name(), g.names(), g.trouble)
	case g.fault != nil && g.patient && l.now.Before(late):
		for _, f := range g.all() {
			l.wait(f.name, l.hope(g, f), late)
		}
	case g.fault != nil:
		l.refuse(g, l.reasonFor(g))
	case g.empty() && l.now.Before(late):
		for _, f := range g.all() {
			l.wait(f.name, "nothing is in it so far", late) // some programs make a file long before they write to it
		}
	case l.resting(g.name()):
		l.stillTrouble(g.name())
	default:
		l.take(g)
	}
}

// hope says what a group waits for whose fault may go away.
func (l *look) hope(g *group, f *seen) string {
	if g.sidecar == nil && f.info.Mode().IsRegular() {
		if _, about := aboutOther(f.name); !about {
			return "it waits for its sidecar " + show.Text(f.name) + sidecarEnding
		}
	}
	return "it waits: " + g.fault.What
}

// reasonFor is why a group is refused: its fault, or that it was taken in before,
// as what a program left behind that lost its state.
func (l *look) reasonFor(g *group) *Refusal {
	for _, f := range g.files {
		if !f.info.Mode().IsRegular() || f.info.Size() == 0 {
			continue
		}
		if file, err := l.identify(f); err == nil {
			if record, known := l.known(file.SHA256); known {
				return takenBefore(f.name, record, file.SHA256)
			}
		}
	}
	return g.fault
}

// takenBefore refuses what a record names already.
func takenBefore(name, record, digest string) *Refusal {
	return &Refusal{
		What: fmt.Sprintf("%s was taken in before: %s names it by its SHA-256 %s", show.Text(name), record, digest),
		Mend: `delete it; what is wrong in that record is corrected by a new one, see "plumbrule help record check", --amends`,
	}
}

// take makes a record of a group and carries it out.
func (l *look) take(g *group) {
	d := Drop{Said: g.said}
	seenDigests := map[string]string{}
	for _, f := range g.files {
		file, err := l.identify(f)
		if err != nil {
			l.unread(g, f, err)
			return
		}
		if file.Size == 0 {
			l.refuse(g, &Refusal{What: fmt.Sprintf("%s is empty", show.Text(f.name)), Mend: "export it again, and look at what is free on the disk it comes from"})
			return
		}
		if other, twice := seenDigests[file.SHA256]; twice {
			l.refuse(g, &Refusal{What: fmt.Sprintf("%s and %s are the same scan, and each repeat must be one of its own", show.Text(other), show.Text(f.name)), Mend: "leave one out, or drop the scan that is missing"})
			return
		}
		seenDigests[file.SHA256] = f.name
		if record, known := l.known(file.SHA256); known {
			l.refuse(g, takenBefore(f.name, record, file.SHA256))
			return
		}
		d.Files = append(d.Files, file)
	}
	made, err := l.settings.Take(l.ctx, d)
	var refusal *Refusal
	switch {
	case err != nil && l.ctx.Err() != nil:
		return // nothing was done, and it is tried when the program runs again
	case errors.As(err, &refusal):
		l.refuse(g, refusal)
		return
	case err != nil:
		l.trouble(g.name(), g.names(), plain(err))
		return
	case !recordPath(made.Record) || len(made.To) != len(d.Files):
		l.trouble(g.name(), g.names(), "its record belongs nowhere: "+show.Text(made.Record))
		return
	}
	in := l.intend(g, d, &made)
	if err := l.note(in); err != nil {
		l.trouble(g.name(), g.names(), fmt.Sprintf("it cannot be noted in %s that it is taken in: %s", l.intents(), plain(err)))
		return
	}
	l.carryOut(in)
}

// intend is the intent of taking in a group.
func (l *look) intend(g *group, d Drop, made *Made) *intent {
	in := &intent{
		Version: intentVersion, Want: made.Record, Record: l.free(made.Record), Text: string(made.Text),
		Device: made.Device, By: g.said.By, Remarks: made.Remarks,
	}
	for i := range d.Files {
		in.Originals = append(in.Originals, carried{Name: d.Files[i].Name, SHA256: d.Files[i].SHA256, To: made.To[i], info: d.Files[i].info})
	}
	if g.sidecar != nil {
		in.Sidecar = &carried{Name: g.sidecar.name, SHA256: g.digest, info: g.sidecar.info}
	}
	for _, f := range g.all() {
		in.Marks = append(in.Marks, f.marks...)
	}
	return in
}

// known returns the record that names a file, if it still lies there.
func (b *Inbox) known(digest string) (string, bool) {
	there := func(record string) bool {
		_, err := b.disk.lstat(b.inside(record))
		return !errors.Is(err, fs.ErrNotExist)
	}
	if record, ok := b.taken[digest]; ok && there(record) {
		return record, true
	}
	if b.settings.Known == nil {
		return "", false
	}
	record, ok := b.settings.Known(digest)
	return record, ok && there(record)
}

// unread says why a file could not be read to its end.
func (l *look) unread(g *group, f *seen, err error) {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		l.again(l.now.Add(l.settings.Stable)) // somebody has taken it away again
	case errors.Is(err, errChanged), errors.Is(err, errIrregular):
		l.stillAfresh(f.name)
		l.wait(f.name, errChanged.Error(), l.now.Add(l.settings.Stable))
	default:
		l.trouble(g.name(), g.names(), fmt.Sprintf("%s cannot be read: %s", show.Text(f.name), plain(err)))
	}
}

// stillAfresh has a file stand still once more.
func (l *look) stillAfresh(name string) {
	delete(l.still, name)
}
