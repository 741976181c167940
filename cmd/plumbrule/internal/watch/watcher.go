package watch

import (
	"context"
	"io/fs"
	"log/slog"
	"slices"
	"sync/atomic"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/rules"
)

// Watcher keeps the answers about a repository up to date and sees to it that
// those concerned are told. All of it but the sending and the inbox runs on one
// goroutine, so that nothing is looked at while it changes.
type Watcher struct {
	Root    string // absolute path of the repository
	FS      fs.FS  // its files
	State   string // the state directory
	Clock   Clock
	Log     *slog.Logger
	Service Service
	Outlets Outlets
	Drops   Drops           // nil: there is no inbox
	Show    func(*Outcome)  // told of each new outcome; nil: nobody
	Report  func(*Health)   // told when the last outcome was found to hold still; nil: nobody
	Reload  <-chan struct{} // asks for everything to be looked at and set up anew
	Lock    *Held           // of the state directory; nil: nobody else writes there
	Renew   func()          // told when everything is to be set up anew; nil: nobody
	Alive   time.Duration   // how often the service manager is told; 0: never
	Events  func() (Events, error)

	book      *alert.Book
	index     *records.Index
	set       *records.Set // of the index, as it was when the repository could be seen last
	told      []records.Diagnostic
	evaluator rules.Evaluator
	ask       chan<- struct{} // asks the tree for everything, once it has come to rest
	site      *records.Site   // the last settings that could be read
	outcome   *Outcome
	health    Health
	faults    map[string]alert.Finding // what is wrong with the watcher, by what
	taking    Taking
	taken     chan Taking // of the look at the inbox under way; nil: none
	trials    chan asked
	left      chan struct{} // closed when nobody answers trials any more
	stale     bool          // the answers are to be formed anew
	unshown   bool          // alerts have changed since the last outcome
	at        deadlines
	turned    atomic.Pointer[time.Time]
}

// deadlines are when something is to be done next; zero for never.
type deadlines struct {
	rescan, inbox, requests, beat, alive time.Time
}

// How often things are looked at that no event tells of.
const (
	// longestWait bounds every wait: the clock on the wall may be put forward, and stands still for a wait while the machine sleeps.
	longestWait = 15 * time.Second
	// requestsEvery is how often the state directory is looked at for what other programs ask. Each look wakes the program; who asks
	// waits for three of them.
	requestsEvery = 5 * time.Second
	// pollEvery is how often everything is looked through where the system does not tell of changes.
	pollEvery = 30 * time.Second
)

// Open reads the book of alerts and the records, and forms the first answers.
// Nobody is told yet.
func (w *Watcher) Open() error {
	book, err := alert.Open(w.State, w.Clock, alert.SettingsOf(nil))
	if err != nil {
		return err
	}
	w.book, w.faults = book, map[string]alert.Finding{}
	w.trials, w.left = make(chan asked), make(chan struct{})
	w.health.Started = w.Clock.Now()
	for _, note := range book.Notes() {
		w.note(note)
	}
	w.index = records.OpenIndex(w.FS, records.Options{}, w.Clock.Now)
	w.set, w.told = w.index.Set()
	w.health.Looked = w.Clock.Now()
	w.settings()
	// What changed since the files were read is found when the tree is followed, whose first batch is everything.
	w.at.rescan = w.health.Looked.Add(w.watchSettings().RescanTime())
	w.stale = true
	return nil
}

// Close lets go of what Open took.
func (w *Watcher) Close() error { return w.book.Close() }

// Site is the settings in force; nil: none could be read so far.
func (w *Watcher) Site() *records.Site { return w.site }

// Run follows the repository until the context ends. Open comes before.
func (w *Watcher) Run(ctx context.Context) {
	f := w.follow(ctx)
	defer func() {
		w.Service.Tell("STOPPING=1")
		f.end()
		w.leave()
	}()
	w.begin(ctx)
	first := true
	for ctx.Err() == nil {
		wait := w.turn(w.Clock.Now())
		if first {
			w.Service.Tell("READY=1")
			first = false
		}
		if f.settle != w.watchSettings().SettleTime() {
			f.end()
			f = w.follow(ctx)
		}
		select {
		case <-ctx.Done():
		case b, open := <-f.batches:
			if open {
				w.changed(b)
			}
		case r := <-w.Outlets.Results():
			w.came(r)
		case q := <-w.trials:
			w.tried(q)
		case t := <-w.taken:
			w.tookIn(t)
		case <-w.Reload:
			w.reload()
		case <-w.Clock.After(wait):
		}
	}
}

// following is the tree being followed, by a settling time.
type following struct {
	batches <-chan Batch
	settle  time.Duration
	cancel  context.CancelFunc
}

func (w *Watcher) follow(ctx context.Context) *following {
	f := &following{settle: w.watchSettings().SettleTime()}
	ctx, f.cancel = context.WithCancel(ctx)
	ask := make(chan struct{}, 1)
	t := &Tree{Root: w.Root, Settle: f.settle, Poll: pollEvery, Clock: w.Clock, Ask: ask, Events: w.Events}
	f.batches, w.ask = t.Follow(ctx), ask
	return f
}

// end waits until nothing is followed any more.
func (f *following) end() {
	f.cancel()
	for range f.batches { // until it is closed
	}
}

// turn does all that is due, and returns how long nothing is.
func (w *Watcher) turn(now time.Time) time.Duration {
	w.turned.Store(&now)
	w.steppedBack(now)
	if due(&w.at.requests, now, requestsEvery) {
		w.requests(now)
	}
	if due(&w.at.rescan, now, w.watchSettings().RescanTime()) {
		w.lookThrough()
	}
	if next := w.evaluator.Next(); w.stale || !next.IsZero() && !now.Before(next) {
		w.evaluate(now)
	}
	w.look(now)
	w.tell(now)
	w.beat(now)
	if w.unshown {
		w.show()
	}
	if w.Alive > 0 && due(&w.at.alive, now, w.Alive) {
		w.Service.Tell("WATCHDOG=1")
	}
	return w.wait(now)
}

// due tells whether a deadline has come, and sets the next one.
func due(at *time.Time, now time.Time, every time.Duration) bool {
	if now.Before(*at) {
		return false
	}
	*at = now.Add(every)
	return true
}

// steppedBack brings deadlines nearer that lie further away than they ever are: the clock was put back.
func (w *Watcher) steppedBack(now time.Time) {
	settings := w.watchSettings()
	for at, most := range map[*time.Time]time.Duration{
		&w.at.requests: requestsEvery, &w.at.rescan: settings.RescanTime(), &w.at.beat: settings.HeartbeatTime(),
		&w.at.alive: w.Alive, &w.at.inbox: time.Hour,
	} {
		if at.Sub(now) > most {
			*at = now
		}
	}
	if w.outcome != nil && now.Before(w.outcome.At) {
		w.stale = true
	}
}

// wait returns how long nothing is due.
func (w *Watcher) wait(now time.Time) time.Duration {
	next := now.Add(longestWait)
	for _, at := range []time.Time{w.at.requests, w.at.rescan, w.at.inbox, w.at.beat, w.at.alive, w.evaluator.Next(), w.book.Next()} {
		if !at.IsZero() && at.Before(next) {
			next = at
		}
	}
	return max(next.Sub(now), time.Millisecond)
}

// watchSettings are those in force.
func (w *Watcher) watchSettings() *records.SiteWatch {
	if w.site == nil {
		return &records.SiteWatch{}
	}
	return &w.site.Watch
}

// note keeps a sentence about what went on, and logs it.
func (w *Watcher) note(sentence string) {
	w.Log.Info(sentence)
	w.remember(sentence)
}

// remember keeps a sentence about what went on.
func (w *Watcher) remember(sentence string) {
	w.health.Notes = append([]string{sentence}, w.health.Notes...)
	w.health.Notes = w.health.Notes[:min(len(w.health.Notes), notesKept)]
	w.unshown = true
}

// Fault makes one of the watcher's own findings stand; an empty sentence ends it. It is for those whom Run calls.
func (w *Watcher) Fault(code, about, sentence, mend string) {
	key := alert.Key{Subject: alert.Watcher, Code: code, About: about}
	name := faultName(code, about)
	before, stood := w.faults[name]
	if sentence == "" {
		if stood {
			delete(w.faults, name)
			w.stale = true
		}
		return
	}
	if stood && before.Sentence == sentence {
		return
	}
	w.faults[name] = alert.Finding{Key: key, Severity: alert.Fault, Sentence: sentence, Mend: mend}
	w.stale = true
}

func faultName(code, about string) string { return code + " " + about }

// Turned is when the watcher looked last at what it has to do; zero: not yet. It may be asked from any goroutine.
func (w *Watcher) Turned() time.Time {
	if at := w.turned.Load(); at != nil {
		return *at
	}
	return time.Time{}
}

// troubles lists the sentences of the watcher's own findings.
func (w *Watcher) troubles() []string {
	var out []string
	for _, f := range w.faults {
		out = append(out, f.Sentence)
	}
	slices.Sort(out)
	return out
}

// reload sets everything up anew, as if the program had been started.
func (w *Watcher) reload() {
	w.Service.Tell("RELOADING=1")
	w.note("asked to look at everything anew")
	w.at.rescan = time.Time{}
	w.configure()
	if w.Renew != nil {
		w.Renew()
	}
	w.stale = true
	w.Service.Tell("READY=1")
}
