package page

import (
	"net/http"

	"plumbrule/rules"
)

// fixed is a page that does not go by device.
type fixed struct {
	path string
	draw func(e *edition) (*answer, error)
}

// pages are those that are drawn before a view is shown.
func (s *Server) pages() []fixed {
	html := func(name string, model func(e *edition) any) func(e *edition) (*answer, error) {
		return func(e *edition) (*answer, error) { return s.html(e, name, model(e)) }
	}
	fleet := func(by grouping) func(e *edition) (*answer, error) {
		return func(e *edition) (*answer, error) {
			f, err := s.fleetBy(e, by)
			if err != nil {
				return nil, err
			}
			return s.html(e, "fleet", f)
		}
	}
	return []fixed{
		{"/", fleet(byFitness)},
		{"/places", fleet(byPlace)},
		{"/kinds", fleet(byKind)},
		{"/due", html("due", func(e *edition) any { return dueOf(e) })},
		{"/alerts", html("alerts", func(e *edition) any { return alertsOf(e) })},
		{"/records", html("records", func(e *edition) any { return recordsOf(e) })},
		{"/calendar.ics", calendarOf},
	}
}

// Handler answers requests. It is meant to stand behind a [Door].
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, p := range s.pages() {
		pattern := p.path
		if pattern == "/" {
			pattern = "/{$}"
		}
		mux.HandleFunc("GET "+pattern, s.ready(func(e *edition, w http.ResponseWriter, r *http.Request) {
			e.serve(w, r, p.path, func() (*answer, error) { return p.draw(e) })
		}))
	}
	for name, file := range s.files {
		mux.Handle("GET /"+name, file)
	}
	for name, value := range map[string]func(Data) any{"fleet": Data.Fleet, "due": Data.Due, "records": Data.Records} {
		mux.HandleFunc("GET /"+name+".json", s.ready(func(e *edition, w http.ResponseWriter, r *http.Request) {
			if e.Data == nil {
				s.missing(w, r)
				return
			}
			e.serve(w, r, name+".json", func() (*answer, error) { return jsonAnswer(value(e.Data)) })
		}))
	}
	mux.HandleFunc("GET /alerts.json", s.ready(func(e *edition, w http.ResponseWriter, r *http.Request) {
		e.serve(w, r, "alerts.json", func() (*answer, error) { return jsonAnswer(alertsJSONOf(e)) })
	}))
	mux.HandleFunc("GET /device/{id}", s.ofDevice("", func(e *edition, d *rules.Device) (*answer, error) {
		return s.html(e, "device", deviceOf(e, d))
	}))
	mux.HandleFunc("GET /device/{id}/explain.json", s.ofDevice("explain", func(e *edition, d *rules.Device) (*answer, error) {
		if e.Data == nil {
			return nil, nil
		}
		return jsonAnswer(e.Data.Device(d.ID))
	}))
	mux.HandleFunc("GET /device/{id}/charts.json", s.ofDevice("charts", func(e *edition, d *rules.Device) (*answer, error) {
		if e.Data == nil {
			return nil, nil
		}
		charts, err := e.Data.Charts(d.ID)
		if err != nil {
			return nil, err
		}
		return jsonAnswer(charts)
	}))
	mux.HandleFunc("GET /device/{id}/chart/{file}", s.chart)
	mux.HandleFunc("GET /events", s.events)
	mux.HandleFunc("GET /metrics", s.metrics)
	mux.HandleFunc("GET /healthz", s.healthz)
	mux.HandleFunc("GET /livez", s.livez)
	mux.HandleFunc("GET /health.json", s.healthJSON)
	mux.HandleFunc("GET /", s.missing)
	return guarded(mux)
}

// ready calls a handler with what is shown. Before the first evaluation there is nothing, which is no fault.
func (s *Server) ready(h func(*edition, http.ResponseWriter, *http.Request)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		e, _ := s.now()
		if e == nil {
			w.Header().Set("Retry-After", "2")
			http.Error(w, "the records are being read for the first time; ask again in a moment", http.StatusServiceUnavailable)
			return
		}
		h(e, w, r)
	}
}

// ofDevice answers about the device that the address names. A drawing that gives nothing is a page that is not there.
func (s *Server) ofDevice(what string, draw func(*edition, *rules.Device) (*answer, error)) http.HandlerFunc {
	return s.ready(func(e *edition, w http.ResponseWriter, r *http.Request) {
		d := e.device(r.PathValue("id"))
		if d == nil || what != "" && e.Data == nil {
			s.missing(w, r)
			return
		}
		e.serve(w, r, "device/"+d.ID+"/"+what, func() (*answer, error) { return draw(e, d) })
	})
}

// missing says that there is no such page.
func (s *Server) missing(w http.ResponseWriter, _ *http.Request) {
	http.Error(w, "there is no such page; / lists the devices", http.StatusNotFound)
}
