package page

import (
	"fmt"
	"html/template"
	"strconv"
	"sync"
	"time"
)

// Settings are what a server is told once.
type Settings struct {
	Clock   interface{ Now() time.Time }
	Version string // of the program

	// Patience is how old the last evaluation may be before /healthz reports that the watcher stands still, and its last turn
	// before /livez does; 0: 1 hour.
	Patience time.Duration
	// Turned returns when the watcher looked last at what it has to do; zero: it begins. nil: /livez goes by the last evaluation.
	Turned func() time.Time
	// Listeners is how many readers may follow the events at the same time; 0: 64.
	Listeners int
	// KeepAlive is how often a reader who follows the events gets a sign of life; 0: 20 s.
	KeepAlive time.Duration
	// Stream is how long one reader's stream lasts, after which the reader asks again; 0: 100 s. It must be below the time in
	// which the server has to have written its answer, or the stream is torn.
	Stream time.Duration
}

// Server shows the latest view to any number of readers.
type Server struct {
	settings  Settings
	templates map[string]*template.Template
	files     map[string]*answer
	work      sync.WaitGroup
	done      chan struct{} // closed by Close

	mu        sync.Mutex
	next      *View // to be shown when its pages are drawn
	preparing bool
	serial    int
	life      string // tells the views of this run from those of the one before
	shown     *edition
	health    Health
	changed   chan struct{} // closed when another view is shown
	listeners int
	closed    bool
}

// New makes a server that has nothing to show yet.
func New(settings Settings) (*Server, error) {
	if settings.Clock == nil {
		return nil, fmt.Errorf("a status page needs a clock")
	}
	settings.Patience = orTime(settings.Patience, time.Hour)
	settings.KeepAlive = orTime(settings.KeepAlive, 20*time.Second)
	settings.Stream = orTime(settings.Stream, 100*time.Second)
	if settings.Listeners == 0 {
		settings.Listeners = 64
	}
	s := &Server{
		settings: settings, done: make(chan struct{}), changed: make(chan struct{}),
		life: strconv.FormatInt(settings.Clock.Now().UnixNano(), 36),
	}
	var err error
	if s.templates, err = readTemplates(); err != nil {
		return nil, err
	}
	if s.files, err = readFiles(); err != nil {
		return nil, err
	}
	return s, nil
}

func orTime(d, otherwise time.Duration) time.Duration {
	if d == 0 {
		return otherwise
	}
	return d
}

// Show replaces the view that readers see and tells those who follow the events. It does not wait: the pages asked for most are
// drawn first, meanwhile the view before stands, and of views that come faster than they can be drawn only the last is shown.
func (s *Server) Show(v *View) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return
	}
	s.next, s.health = v, v.Health
	if !s.preparing {
		s.preparing = true
		s.work.Go(s.prepare)
	}
}

// Report replaces what is said about the watcher itself in /healthz, /health.json and /metrics, with no new view.
func (s *Server) Report(h Health) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.health = h
}

// prepare draws and shows views until there is none left.
func (s *Server) prepare() {
	for {
		s.mu.Lock()
		v := s.next
		s.next = nil
		if v == nil || s.closed {
			s.preparing = false
			s.mu.Unlock()
			return
		}
		s.serial++
		e := newEdition(v, fmt.Sprintf("%s-%d", s.life, s.serial))
		s.mu.Unlock()

		for _, p := range s.pages() {
			// What cannot be drawn tells so when it is asked for.
			_, _ = e.page(p.path, func() (*answer, error) { return p.draw(e) })
		}

		s.mu.Lock()
		s.shown = e
		close(s.changed)
		s.changed = make(chan struct{})
		s.mu.Unlock()
	}
}

// Close ends the streams of events. What is asked for later is still answered, but no other view is shown.
func (s *Server) Close() {
	s.mu.Lock()
	if !s.closed {
		s.closed = true
		close(s.done)
	}
	s.mu.Unlock()
	s.work.Wait()
}

// now returns what is shown; nil before the first view.
func (s *Server) now() (*edition, Health) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown, s.health
}
