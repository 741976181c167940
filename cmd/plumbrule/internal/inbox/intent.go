package inbox

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"plumbrule/records"
)

// intentVersion is the version of the form in which intents are written.
const intentVersion = 1

// intent is what is about to be done with a drop, all of it.
type intent struct {
	Version   int       `json:"v"`
	Want      string    `json:"want"`   // path the record belongs under
	Record    string    `json:"record"` // path under which it is written, Want or one with a number
	Text      string    `json:"text"`
	Device    string    `json:"device"`
	By        string    `json:"by"`
	Originals []carried `json:"originals"`
	Sidecar   *carried  `json:"sidecar,omitempty"`
	Marks     []string  `json:"marks,omitempty"` // files of the inbox that go with them
	Remarks   []string  `json:"remarks,omitempty"`
}

// carried is a file on its way from the inbox to its place.
type carried struct {
	Name   string `json:"name"` // in the inbox
	SHA256 string `json:"sha256"`
	To     string `json:"to"` // path inside the repository, or an absolute one

	info fs.FileInfo // as it was when it was read by this program; nil: it was not
}

// id is the name of the intent: the same for the same drop.
func (in *intent) id() string { return in.Originals[0].SHA256[:16] }

func (in *intent) names() (out []string) {
	for i := range in.Originals {
		out = append(out, in.Originals[i].Name)
	}
	if in.Sidecar != nil {
		out = append(out, in.Sidecar.Name)
	}
	return out
}

const intentEnding = ".json"

func (b *Inbox) intents() string { return filepath.Join(b.settings.State, "inbox") }

func (b *Inbox) intentFile(id string) string { return filepath.Join(b.intents(), id+intentEnding) }

// note writes an intent down.
func (b *Inbox) note(in *intent) error {
	text, err := json.Marshal(in)
	if err != nil {
		return err
	}
	return b.overwrite(b.intentFile(in.id()), append(text, '\n'))
}

// forget deletes an intent: it is carried out, or nothing has come of it.
func (b *Inbox) forget(in *intent) error {
	if err := b.disk.remove(b.intentFile(in.id())); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return b.disk.settle(b.intents())
}

// resume carries out the intents that are found.
func (l *look) resume() error {
	entries, err := l.disk.readDir(l.intents())
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("what was begun in the inbox cannot be read: %w", err)
	}
	for _, e := range entries {
		if err := l.ctx.Err(); err != nil {
			return err
		}
		id, ok := strings.CutSuffix(e.Name(), intentEnding)
		if !ok {
			if strings.HasPrefix(e.Name(), draftStart) {
				_ = l.disk.remove(filepath.Join(l.intents(), e.Name())) // of an intent that came to nothing
			}
			continue
		}
		in, err := l.recall(id)
		if err != nil {
			l.damaged(id, err)
			continue
		}
		if key := intentKey(in); l.resting(key) {
			l.hold(in)
			l.stillTrouble(key)
			continue
		}
		l.carryOut(in)
	}
	return nil
}

// intentKey is the name by which an intent rests.
func intentKey(in *intent) string { return "intent " + in.id() }

// hold keeps the files of an intent from being taken for new ones.
func (l *look) hold(in *intent) {
	for _, name := range append(in.names(), in.Marks...) {
		l.busy[name] = true
	}
}

// recall reads an intent.
func (b *Inbox) recall(id string) (*intent, error) {
	f, err := b.disk.open(b.intentFile(id))
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	text, err := io.ReadAll(f)
	if err != nil {
		return nil, err
	}
	in := new(intent)
	if err := json.Unmarshal(text, in); err != nil {
		return nil, errDamaged
	}
	sound := in.Version == intentVersion && len(in.Originals) > 0 && recordPath(in.Record) && recordPath(in.Want)
	for _, c := range in.Originals {
		sound = sound && len(c.SHA256) == 64 && c.To != "" && filepath.Base(c.Name) == c.Name
	}
	if !sound || in.id() != id {
		return nil, errDamaged
	}
	return in, nil
}

var errDamaged = errors.New("it is no intent of this program's")

// recordPath reports whether a record of a check can lie there.
func recordPath(name string) bool {
	return fs.ValidPath(name) && strings.HasPrefix(name, "checks/") && strings.HasSuffix(name, ".toml")
}

// damaged puts an intent that nobody can read aside. What it was about lies in
// the inbox, or its record is written: the record's digests tell which.
func (l *look) damaged(id string, err error) {
	name := id + intentEnding
	if errors.Is(err, errDamaged) {
		if err := l.disk.replace(l.intentFile(id), l.intentFile(id)+".damaged"); err == nil {
			l.report.Trouble = append(l.report.Trouble, Trouble{name, "what was noted about a drop cannot be read, and is kept as " + name + ".damaged; the drop is looked at anew"})
			return
		}
	}
	l.report.Trouble = append(l.report.Trouble, Trouble{name, "what was noted about a drop cannot be read: " + plain(err)})
	l.again(l.now.Add(retryAfter))
}

// free returns the path of a record that is not taken.
func (b *Inbox) free(want string) string {
	return records.NextFree(want, func(name string) bool {
		_, err := b.disk.lstat(b.inside(name))
		return err == nil
	})
}

// inside is where a file of the repository lies, or one named by an absolute
// path.
func (b *Inbox) inside(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(b.settings.Root, filepath.FromSlash(name))
}
