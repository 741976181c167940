package rules

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/figure"
)

// ErrorTrend is how one error of a device went over its certificates: as left
// by one, as found by the next.
type ErrorTrend struct {
	Quantity records.Quantity
	Length   quantity.Length
	Path     quantity.Length // zero: not stated
	Errors   []Certified     // of each point: as found, and as left where the device was adjusted
	Steps    []Step          // from as left to the next as found
	Breaks   []Break
	LimitUM  figure.Figure
	Course
}

// ErrorTrendsOf returns how the errors in the accepted certificates of a device
// went, for each quantity, length and path that at least two of them state, in
// the order in which they are first stated. An error is returned as by
// [TrendsOf].
func ErrorTrendsOf(set *records.Set, at time.Time, options Options, device string, q TrendQuestion) ([]ErrorTrend, error) {
	d := trendContext(set, at, options, device)
	if d == nil {
		return nil, nil
	}
	var stated []*records.CertifiedError // each kind of error once
	count := map[*records.CertifiedError]int{}
	for i := range d.accepted {
		a := &d.accepted[i]
		counted := map[*records.CertifiedError]bool{}
		for _, list := range [][]records.CertifiedError{a.cert.AsFound, a.cert.AsLeft} {
			for k := range list {
				if !a.covers(list[k].Quantity) {
					continue
				}
				n := slices.IndexFunc(stated, func(e *records.CertifiedError) bool { return sameError(e, &list[k]) })
				if n < 0 {
					n, stated = len(stated), append(stated, &list[k])
				}
				if !counted[stated[n]] {
					counted[stated[n]] = true
					count[stated[n]]++
				}
			}
		}
	}
	var out []ErrorTrend
	for _, e := range stated {
		if count[e] < 2 {
			continue
		}
		t, err := d.errorTrend(e, q)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// sameError reports whether two certificates speak of the same error.
func sameError(a, b *records.CertifiedError) bool {
	if a.Quantity != b.Quantity || a.Length.Compare(b.Length) != 0 || a.Path.IsZero() != b.Path.IsZero() {
		return false
	}
	return a.Path.IsZero() || a.Path.Compare(b.Path) == 0
}

// errorWalk follows one error from certificate to certificate.
type errorWalk struct {
	*deviceContext
	out     *ErrorTrend
	line    course
	left    *Certified // the state in which the device went on; nil: not known, see gap
	gap     string     // why not; empty: there was no certificate before
	restart bool       // the next point begins a segment
}

func (d *deviceContext) errorTrend(of *records.CertifiedError, q TrendQuestion) (ErrorTrend, error) {
	t := ErrorTrend{Quantity: of.Quantity, Length: of.Length, Path: of.Path}
	w := errorWalk{deviceContext: d, out: &t}
	for i := range d.accepted {
		w.certificate(&d.accepted[i], of)
	}
	w.line.oneSided = of.Quantity.OneSided()
	t.LimitUM = d.certifiedLimit(of)
	last := t.Errors[len(t.Errors)-1].Certificate
	r := d.lastRestart()
	switch why := d.unread(d.id); {
	case why != "":
		w.line.ended = why
	case t.LimitUM.Value == nil:
		w.line.ended = t.LimitUM.Reason
	case w.left == nil:
		w.line.ended = w.gap
	case r != nil && !d.calibratedAfter(last, r):
		w.line.ended = fmt.Sprintf("nothing was calibrated since the %s of %s", r.kind(), d.day(r.time))
	}
	if t.LimitUM.Value != nil {
		w.line.limitUM = *t.LimitUM.Value
	}
	var err error
	t.Course, err = d.course(w.line, q)
	return t, err
}

func (w *errorWalk) certificate(a *accepted, of *records.CertifiedError) {
	cert := a.cert
	if e := statedBy(a, cert.AsFound, of); e != nil {
		switch {
		case w.left != nil:
			w.step(*e)
		case w.gap != "":
			w.out.Breaks = append(w.out.Breaks, Break{cert, w.gap})
		}
		w.point(e)
	}
	if !cert.Adjusted {
		return
	}
	w.restart = true
	if e := statedBy(a, cert.AsLeft, of); e != nil {
		w.point(e)
		return
	}
	w.left, w.gap = nil, fmt.Sprintf("certificate %s adjusted the device and does not state this error as left", cert.Number)
}

// step draws a step to an error as found, unless something was done to the
// device in between.
func (w *errorWalk) step(found Certified) {
	h := history{deviceContext: w.deviceContext}
	for i := range w.deviceContext.out.Service.restarts {
		r := &w.deviceContext.out.Service.restarts[i]
		if h.between(w.left.Certificate, r, found.Certificate) {
			w.out.Breaks = append(w.out.Breaks, Break{found.Certificate, fmt.Sprintf("the %s of %s lies before it", r.kind(), w.day(r.time))})
			w.restart = true
			return
		}
	}
	if s := stepOf(*w.left, found); s.Days > 0 {
		w.out.Steps = append(w.out.Steps, s)
	}
}

func (w *errorWalk) point(e *Certified) {
	when := e.Certificate.Date.StartIn(w.zone)
	if len(w.line.points) == 0 {
		w.line.begin = when
	} else if w.restart {
		w.line.restarts = append(w.line.restarts, len(w.line.points))
	}
	w.restart, w.left = false, e
	w.out.Errors = append(w.out.Errors, *e)
	w.line.add(when, e.Figure.Micrometres())
}

// statedBy finds an error in a list of a certificate accepted for it.
func statedBy(a *accepted, list []records.CertifiedError, of *records.CertifiedError) *Certified {
	for i := range list {
		if e := &list[i]; a.covers(e.Quantity) && sameError(e, of) {
			return &Certified{Certificate: a.cert, Figure: e.Error, StandardUM: e.Uncertainty.Standard(), Source: Source{a.cert.File, e.Line}}
		}
	}
	return nil
}

// certifiedLimit returns the limit of an error in a certificate.
func (d *deviceContext) certifiedLimit(e *records.CertifiedError) figure.Figure {
	limit := d.record.LimitFor(e.Quantity, e.Length.Millimetres())
	if limit == nil {
		return figure.Absentf("the device has no limit for %s at %s", e.Quantity, e.Length)
	}
	length := e.Length
	if limit.CountsPath() {
		length = e.Path
	}
	mpe, err := limit.MPE.At(length)
	if err != nil {
		return figure.Absent(err.Error())
	}
	return figure.Known(mpe)
}
