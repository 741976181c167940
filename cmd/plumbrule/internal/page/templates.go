package page

import (
	"bytes"
	"embed"
	"html/template"
	"io/fs"
	"net/url"
	"path"
	"time"
)

//go:embed assets
var assets embed.FS

// frame is what stands around every page.
type frame struct {
	ID, Site, Title string
	Here            string // path of the page in the head's list
	At              time.Time
	Trouble         []string
	Raised, Faulty  int    // numbers beside the names of pages
	Same            string // address of the same as JSON; empty: none
	Version         string
	Body            any
}

// readTemplates reads one template a page.
func readTemplates() (map[string]*template.Template, error) {
	out := map[string]*template.Template{}
	base, err := template.New("frame.html").Funcs(template.FuncMap{
		"t": words, "n": named, "device": deviceAddress, "count": counted,
		"stamp": func(t time.Time) string { return t.Format("2006-01-02 15:04 MST") },
		"rfc":   func(t time.Time) string { return t.Format(time.RFC3339) },
	}).ParseFS(assets, "assets/frame.html", "assets/parts.html")
	if err != nil {
		return nil, err
	}
	for _, name := range []string{"fleet", "device", "due", "alerts", "records"} {
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if out[name], err = t.ParseFS(assets, "assets/"+name+".html"); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// readFiles reads what pages refer to.
func readFiles() (map[string]*answer, error) {
	out := map[string]*answer{}
	for name, kind := range map[string]string{"style.css": "text/css; charset=utf-8", "refresh.js": "text/javascript; charset=utf-8", "icon.svg": "image/svg+xml"} {
		text, err := fs.ReadFile(assets, path.Join("assets", name))
		if err != nil {
			return nil, err
		}
		out[name] = newAnswer(kind, text)
	}
	return out, nil
}

// titled is a page that names itself.
type titled interface {
	title() string
	here() string // its path in the head's list of pages
	same() string // address of the same as JSON
}

// html draws a page.
func (s *Server) html(e *edition, name string, body any) (*answer, error) {
	f := frame{ID: e.id, Site: e.site(), At: e.At.In(e.zone()), Trouble: e.Health.Trouble, Version: s.settings.Version, Body: body}
	if t, ok := body.(titled); ok {
		f.Title, f.Here = t.title(), t.here()
		if e.Data != nil || f.Here == "/alerts" {
			f.Same = t.same()
		}
	}
	f.Raised, f.Faulty = raised(e.Alerts), len(e.Diagnostics)
	var out bytes.Buffer
	if err := s.templates[name].ExecuteTemplate(&out, "frame.html", f); err != nil {
		return nil, err
	}
	return newAnswer("text/html; charset=utf-8", out.Bytes()), nil
}

// deviceAddress is where a device's page stands.
func deviceAddress(id string) string { return "/device/" + url.PathEscape(id) }
