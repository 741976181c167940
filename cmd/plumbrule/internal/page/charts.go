package page

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"plumbrule/rules"
)

// chartsOf lists a device's charts. They are pictures of their own, since a style that stands inside a page is not let in.
func chartsOf(d *rules.Device) []chartPicture {
	var out []chartPicture
	for i := range d.Charts {
		c := &d.Charts[i]
		p := chartPicture{
			Address: fmt.Sprintf("%s/chart/%d.svg", deviceAddress(d.ID), i+1),
			Title:   fmt.Sprintf("%s %s by %s with %s", c.Quantity, c.Feature, c.Procedure, c.Artifact),
			State:   counted(c.Points, "point") + ", in control",
		}
		if c.Provisional {
			p.State = counted(c.Points, "point") + ", limits provisional, signals not acted on"
		}
		if len(c.Signals) > 0 {
			var names []string
			for _, s := range c.Signals {
				names = append(names, string(s.Test))
			}
			p.Signals, p.State = true, counted(c.Points, "point")+", out of control: "+strings.Join(names, ", ")
		}
		out = append(out, p)
	}
	return out
}

// chart answers with one control chart of a device: the n-th of its assessment.
func (s *Server) chart(w http.ResponseWriter, r *http.Request) {
	s.ready(func(e *edition, w http.ResponseWriter, r *http.Request) {
		d := e.device(r.PathValue("id"))
		text, ok := strings.CutSuffix(r.PathValue("file"), ".svg")
		n, err := strconv.Atoi(text)
		if d == nil || !ok || err != nil || n < 1 || n > len(d.Charts) || strconv.Itoa(n) != text || e.Charts == nil {
			s.missing(w, r)
			return
		}
		list, err := e.together("device/"+d.ID+"/charts", func() ([]*answer, error) { return e.drawCharts(d) })
		switch {
		case err != nil:
			http.Error(w, "this chart cannot be drawn: "+words(err.Error()), http.StatusInternalServerError)
		case list[n-1] == nil:
			s.missing(w, r)
		default:
			list[n-1].ServeHTTP(w, r)
		}
	})(w, r)
}

// drawCharts draws the charts of a device in the order of its assessment; nil for one that cannot be computed. They are drawn
// together, since whoever looks at one looks at the next.
func (e *edition) drawCharts(d *rules.Device) ([]*answer, error) {
	list, err := e.Charts(d.ID)
	if err != nil {
		return nil, err
	}
	out := make([]*answer, len(d.Charts))
	for i := range d.Charts {
		c := &d.Charts[i]
		for _, p := range list {
			if p.Procedure == c.Procedure && p.Artifact == c.Artifact && p.Feature == c.Feature && p.Quantity == c.Quantity {
				out[i] = newAnswer("image/svg+xml", p.SVG)
				out[i].policy = chartPolicy
			}
		}
	}
	return out, nil
}
