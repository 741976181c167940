package inbox

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"path/filepath"
	"sync"
	"time"

	"plumbrule/records"
)

// Folder is the folder of a repository into which files are dropped.
const Folder = "inbox"

// refusedFolder is the folder below it for what cannot be taken in.
const refusedFolder = "refused"

// Clock is the time of day.
type Clock interface{ Now() time.Time }

// Settings say where the inbox is and what makes records of what lies in it.
type Settings struct {
	Root   string        // of the repository
	State  string        // folder for intents, outside the records
	Stable time.Duration // how long a file must not have changed before it is taken in
	// Patience is how long a file waits for the others it belongs to, above all
	// for its sidecar, before it is refused; 10 min if zero.
	Patience time.Duration
	Clock    Clock
	Zone     *time.Location // of the site, in which reasons tell the time; UTC if nil
	Drops    []records.Drop // patterns of file names, the first that fits holds
	Take     Take
	// Known tells which record names a file with this SHA-256.
	Known func(sha256 string) (record string, ok bool)
	// Wrote is told of each record as soon as it is written; nil: nobody is.
	Wrote func(record string)
}

// defaultPatience is how long a scan waits for its sidecar: long enough to write
// one by hand after the scan was copied.
const defaultPatience = 10 * time.Minute

// retryAfter is how long a drop rests that met trouble.
const retryAfter = 30 * time.Second

// Report tells what a look at the inbox found and did. Names are those of files
// in the inbox.
type Report struct {
	Taken   []Taken
	Refused []Refused
	Waiting []Waiting
	Trouble []Trouble // files that stay and are tried again
	// Next is when to look again even if nothing changes; zero: never.
	Next time.Time
}

// Taken is one original that was taken in.
type Taken struct {
	File   string
	Record string // path inside the repository
	Digest string // SHA-256 in hexadecimal
	Device string
	By     string // who measured
	// Archived is where the original lies now: a path inside the repository, or an
	// absolute one.
	Archived string
	// Sidecar is where what was said of it lies now; empty if it was said by a
	// pattern.
	Sidecar string
	// Remarks are warnings about the record that did not keep it from being
	// written.
	Remarks []string
}

// Refused is one file that was put into inbox/refused.
type Refused struct {
	File   string
	Reason string // sentences: what, where, what would mend it
	Place  string // where it lies now, inside the repository
}

// Waiting is one file that will be looked at again.
type Waiting struct{ File, Why string }

// Trouble is one file that could not be taken in now, for a cause outside it.
type Trouble struct{ File, Why string }

// Inbox is the inbox of one repository. There must be one at a time for a state
// directory.
type Inbox struct {
	disk disk

	setting sync.Mutex // guards next
	next    Settings   // those of the next look

	looking  sync.Mutex // held during a look
	settings Settings
	still    map[string]stillness
	rests    map[string]rest   // by name of a drop or an intent
	taken    map[string]string // records made by this program, by SHA-256: those of Known may be older
}

// rest is a drop that met trouble: it is left alone until its time has come.
type rest struct {
	until time.Time
	names []string
	why   string
}

// New returns the inbox. Nothing is read before the first look.
func New(s Settings) *Inbox { return open(s, system{}) }

func open(s Settings, d disk) *Inbox {
	return &Inbox{disk: d, next: s, settings: s, still: map[string]stillness{}, rests: map[string]rest{}, taken: map[string]string{}}
}

// Set changes the settings from the next look on. It does not wait for a look
// that is under way.
func (b *Inbox) Set(change func(*Settings)) {
	b.setting.Lock()
	defer b.setting.Unlock()
	change(&b.next)
}

func (b *Inbox) current() Settings {
	b.setting.Lock()
	defer b.setting.Unlock()
	return b.next
}

// Look finishes what was begun, and takes in or refuses what has come. An error
// means that the inbox as a whole cannot be read, or that the context ended; what
// the report says was done all the same. A repository without the folder has an
// empty inbox.
func (b *Inbox) Look(ctx context.Context) (Report, error) {
	b.looking.Lock()
	defer b.looking.Unlock()
	b.settings = b.current()
	l := &look{Inbox: b, ctx: ctx, now: b.settings.Clock.Now(), busy: map[string]bool{}}
	maps.DeleteFunc(b.rests, func(key string, _ rest) bool { return !l.resting(key) })
	if _, err := b.disk.lstat(b.settings.Root); err != nil {
		return l.report, err
	}
	if err := l.resume(); err != nil {
		return l.report, err
	}
	entries, err := b.disk.readDir(l.path(""))
	if errors.Is(err, fs.ErrNotExist) {
		return l.report, nil
	}
	if err != nil {
		return l.report, err
	}
	l.observe(entries)
	for _, g := range l.groups() {
		if err := ctx.Err(); err != nil {
			return l.report, err
		}
		l.settle(g)
	}
	return l.report, ctx.Err()
}

// look is one look at the inbox.
type look struct {
	*Inbox
	ctx    context.Context
	now    time.Time
	files  []seen
	busy   map[string]bool // files of intents that could not be finished
	report Report
}

// path is where a file of the inbox lies.
func (l *look) path(name string) string {
	return filepath.Join(l.settings.Root, Folder, name)
}

// again sees to it that there is another look at that time.
func (l *look) again(at time.Time) {
	if l.report.Next.IsZero() || at.Before(l.report.Next) {
		l.report.Next = at
	}
}

func (l *look) wait(name, why string, until time.Time) {
	l.report.Waiting = append(l.report.Waiting, Waiting{name, why})
	l.again(until)
}

// trouble leaves files where they are for a while.
func (l *look) trouble(key string, names []string, why string) {
	l.rests[key] = rest{l.now.Add(retryAfter), names, why}
	l.stillTrouble(key)
}

// stillTrouble repeats what is known of a drop that rests.
func (l *look) stillTrouble(key string) {
	r := l.rests[key]
	for _, name := range r.names {
		l.report.Trouble = append(l.report.Trouble, Trouble{name, r.why})
	}
	l.again(r.until)
}

// resting reports whether a drop is to be left alone. A clock that was put back
// does not make it rest longer than it should.
func (l *look) resting(key string) bool {
	r, ok := l.rests[key]
	return ok && l.now.Before(r.until) && r.until.Sub(l.now) <= retryAfter
}

func (l *look) patience() time.Duration {
	if l.settings.Patience > 0 {
		return l.settings.Patience
	}
	return defaultPatience
}
