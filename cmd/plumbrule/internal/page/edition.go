package page

import (
	"html/template"
	"net/http"
	"sync"
)

// mostKept is how many bytes of drawn pages are kept for one view. What does not fit is drawn each time it is asked for.
const mostKept = 32 << 20

// edition is a view with the pages drawn from it so far.
type edition struct {
	*View
	id string // of this view, for readers who ask whether there is a newer one

	mu   sync.Mutex
	kept map[string]*drawn
	size int

	drawing sync.Mutex
	rows    map[string]template.HTML // of the fleet's table; see deviceRows
}

// drawn is what is drawn at most once: a page, or pages that are drawn together.
type drawn struct {
	once    sync.Once
	answers []*answer
	err     error
}

func newEdition(v *View, id string) *edition {
	return &edition{View: v, id: id, kept: map[string]*drawn{}}
}

// together returns what is kept under a name, or draws it. Several readers who ask at the same time wait for one drawing. The
// caller must ask only for things that exist, so that nobody fills the memory with names.
func (e *edition) together(name string, draw func() ([]*answer, error)) ([]*answer, error) {
	e.mu.Lock()
	d := e.kept[name]
	if d == nil {
		d = &drawn{}
		e.kept[name] = d
	}
	e.mu.Unlock()
	d.once.Do(func() {
		d.answers, d.err = draw()
		size := 0
		for _, a := range d.answers {
			size += a.size()
		}
		e.mu.Lock()
		defer e.mu.Unlock()
		if d.err != nil || e.size+size > mostKept {
			delete(e.kept, name)
			return
		}
		e.size += size
	})
	return d.answers, d.err
}

// page does so for a single page.
func (e *edition) page(name string, draw func() (*answer, error)) (*answer, error) {
	all, err := e.together(name, func() ([]*answer, error) {
		a, err := draw()
		return []*answer{a}, err
	})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// serve answers with a page, or says why it cannot be drawn.
func (e *edition) serve(w http.ResponseWriter, r *http.Request, name string, draw func() (*answer, error)) {
	a, err := e.page(name, draw)
	if err != nil {
		http.Error(w, "this page cannot be drawn: "+words(err.Error()), http.StatusInternalServerError)
		return
	}
	a.ServeHTTP(w, r)
}
