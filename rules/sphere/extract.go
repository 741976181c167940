package sphere

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Options say how a scan is evaluated.
type Options struct {
	MMPerUnit  float64  // millimetres in the scan's unit
	UnitStated bool     // the user or the file has said so; otherwise another unit is thought of when nothing is found
	Outliers   Outliers // empty: [CutOnce]
	Fixed      bool     // radii are held at the diameters wanted

	// CapHalfAngle, if above 0, leaves out what lies farther than this angle (radians) from the middle of the part seen:
	// points at grazing incidence and at the edge, which some scanners place wrongly.
	CapHalfAngle float64

	KeepPoints bool // keep the surface points in the result

	// Step, if there is one, returns the spacing of the scan's numbers at the largest coordinate in millimetres, 0 if that is
	// fine enough. It is asked after the first pass.
	Step func() float64

	Workers int
}

// How thinly the scan is looked at first, and a second time if that was too thin.
const (
	firstSample  = 150_000
	secondSample = 2_000_000
)

// Extract finds the spheres wanted in a scan and fits them. It passes over the scan twice, or three times if the spheres
// are so small a part of it that the first sample misses them. An [*Error] says why there is no result; other errors are
// those of the source or the context.
func Extract(ctx context.Context, source Source, w Wanted, o Options) (*Result, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if o.Outliers == "" {
		o.Outliers = CutOnce
	}
	var s sampled
	var found []candidate
	var of []int
	var ambiguous bool
	failed := error(&Error{})
	for _, wanted := range []int{firstSample, secondSample} {
		if wanted == secondSample && s.stride == 1 {
			break
		}
		var err error
		if s, err = sampleOf(ctx, source, o.MMPerUnit, wanted); err != nil {
			return nil, err
		}
		if s.total == 0 {
			return nil, &Error{Reason: NoPoints, Found: "the scan has no usable points", Mend: "look at the file in another program"}
		}
		for _, edge := range []float64{fineCubes, coarseCubes} {
			if failed == nil {
				break
			}
			var more []candidate
			for _, d := range w.sizes() {
				more = append(more, candidatesIn(s.points, d/2, edge, o.Workers)...)
			}
			inOrder(more, s.points)
			if len(more) >= len(found) {
				found = more
				of, ambiguous, failed = choose(found, &w)
			}
		}
		if failed == nil {
			break
		}
	}
	if failed != nil {
		return nil, explain(failed, found, &s, &w, &o)
	}
	r := &Result{Points: s.total, Ambiguous: ambiguous}
	chosen := make([]candidate, len(of))
	for i, k := range of {
		chosen[i] = found[k]
	}
	return r, r.measure(ctx, source, chosen, &s, &w, &o)
}

// choose names the candidates, as many as there are or as many as wanted.
func choose(found []candidate, w *Wanted) (of []int, ambiguous bool, err error) {
	if len(found) == 0 {
		return nil, false, &Error{Reason: NoSphere, Found: fmt.Sprintf("no ball of %g mm diameter in the scan", w.Spheres[0].DiameterMM)}
	}
	if !w.AnyNumber {
		return assign(found, w)
	}
	if len(found) > mostTogether {
		return nil, false, &Error{Reason: TooMany, Found: fmt.Sprintf("more than %d balls of the size wanted", mostTogether), Mend: "state how many there are"}
	}
	first := w.Spheres[0]
	w.Spheres, w.Distances = nil, nil
	for i := range found {
		of = append(of, i)
		w.Spheres = append(w.Spheres, NominalSphere{Name: letter(i), DiameterMM: first.DiameterMM})
	}
	for i := range w.Spheres {
		for k := i + 1; k < len(w.Spheres); k++ {
			mm := norm(minus(found[i].fit.CenterMM, found[k].fit.CenterMM))
			w.Distances = append(w.Distances, NominalDistance{From: letter(i), To: letter(k), MM: mm})
		}
	}
	return of, false, nil
}

// letter names the i-th sphere: A … Z, then A2 and so on.
func letter(i int) string {
	name := string(rune('A' + i%26))
	if i >= 26 {
		name += fmt.Sprint(i/26 + 1)
	}
	return name
}

// measure gathers the points around the chosen candidates from the whole scan and fits them.
func (r *Result) measure(ctx context.Context, source Source, chosen []candidate, s *sampled, w *Wanted, o *Options) error {
	if len(chosen) > mostTogether {
		return &Error{Reason: BadRequest, Found: fmt.Sprintf("%d spheres wanted", len(chosen)), Mend: fmt.Sprintf("at most %d can be found at a time", mostTogether)}
	}
	fits := make([]Fit, len(chosen))
	reach := make([]float64, len(chosen))
	expect := make([]int, len(chosen))
	for i := range chosen {
		fits[i] = chosen[i].fit
		reach[i] = math.Max(4*chosen[i].gateMM, 0.05*fits[i].RadiusMM)
		expect[i] = int(1.05*float64(chosen[i].points)*float64(s.stride)) + 1000
	}
	near, err := gather(ctx, source, o.MMPerUnit, fits, reach, expect)
	if err != nil {
		return err
	}
	step := 1e-7 * s.reach // of single precision, if nobody knows
	if o.Step != nil {
		step = o.Step()
	}
	floor := math.Max(roundingShare*s.reach, step)
	parts := make([]Result, len(chosen)) // one for each sphere, fitted side by side and joined in order
	failed := make([]error, len(chosen))
	inParallel(len(chosen), o.Workers, func(i int) {
		var others [][]uint32
		for k := range near {
			if k != i {
				others = append(others, near[k].order)
			}
		}
		failed[i] = parts[i].fitOne(w.Spheres[i], &near[i], others, chosen[i], floor, o)
	})
	for i := range parts {
		if failed[i] != nil {
			return failed[i]
		}
		r.Spheres = append(r.Spheres, parts[i].Spheres...)
		r.Closures = append(r.Closures, parts[i].Closures...)
		r.Warnings = append(r.Warnings, parts[i].Warnings...)
	}
	for _, d := range w.measured() {
		a, b := r.Named(d.From), r.Named(d.To)
		v := minus(b.CenterMM, a.CenterMM)
		r.Distances = append(r.Distances, Distance{
			From: d.From, To: d.To, MM: norm(v), UMM: math.Hypot(a.cut.uncertainty(o.Outliers, along(v)), b.cut.uncertainty(o.Outliers, along(v))),
		})
	}
	r.warnOfWhole(w, step)
	return nil
}

// mostToSettle bounds the points with which a sphere's gate and scanned part are found; the fit itself takes all.
const mostToSettle = 20_000

// fitOne fits one sphere to the points near it.
func (r *Result) fitOne(nominal NominalSphere, near *surroundings, others [][]uint32, c candidate, floor float64, o *Options) error {
	m := &measuring{near: *near, floor: floor, fit: c.fit, gate: c.gateMM, options: FitOptions{Workers: o.Workers}}
	if w := m.near.points.Weight; w != nil && !slices.ContainsFunc(w, func(w float64) bool { return w > 0 }) {
		m.near.points.Weight = nil
	}
	sp, err := m.sphere(nominal, others, o)
	if err != nil {
		at := c.fit.CenterMM
		return &Error{
			Reason: NoSphere, Found: fmt.Sprintf("the points near (%.1f, %.1f, %.1f) determine no sphere %s", at[0], at[1], at[2], nominal.Name),
			Mend: "scan more of its surface",
		}
	}
	if m.seen.closure != nil {
		m.seen.closure.Sphere = nominal.Name
		r.Closures = append(r.Closures, *m.seen.closure)
	}
	r.Spheres = append(r.Spheres, *sp)
	r.warnOfSphere(sp, m.near.points, m.in, &m.seen, o)
	return nil
}

// measuring is a sphere being fitted.
type measuring struct {
	near    surroundings
	floor   float64
	fit     Fit
	gate    float64
	options FitOptions
	seen    visits
	in      []bool // points of near that are fitted
}

// thinned returns the surroundings, or an even choice of them when they are many.
func (s *surroundings) thinned() surroundings {
	stride := (s.points.Len() + mostToSettle - 1) / mostToSettle
	if stride <= 1 {
		return *s
	}
	var out surroundings
	for i := 0; i < s.points.Len(); i += stride {
		out.points.XYZ = append(out.points.XYZ, s.points.XYZ[3*i:3*i+3]...)
		if s.points.Weight != nil {
			out.points.Weight = append(out.points.Weight, s.points.Weight[i])
		}
		out.order = append(out.order, s.order[i])
	}
	return out
}

// sphere settles on a gate and the part that was scanned, fits all points there, and applies the rule for outliers.
func (m *measuring) sphere(nominal NominalSphere, others [][]uint32, o *Options) (*Sphere, error) {
	few := m.near.thinned()
	var err error
	if m.fit, m.gate, err = settle(few.points, m.fit, m.gate, m.floor, m.options); err != nil {
		return nil, err
	}
	m.seen = visitsOf(few.points, m.fit, m.gate, runsOf(few.order, others), m.options)
	if m.seen.closure != nil {
		end, _ := slices.BinarySearch(m.near.order, few.order[m.seen.use])
		few.points, m.near.points = few.points.upTo(m.seen.use), m.near.points.upTo(end)
		if m.fit, m.gate, err = settle(few.points, m.fit, m.gate, m.floor, m.options); err != nil {
			return nil, err
		}
	}
	if o.Fixed {
		m.options.RadiusMM = nominal.DiameterMM / 2
		start := m.fit
		start.RadiusMM = m.options.RadiusMM
		if m.fit, m.gate, err = settle(few.points, start, m.gate, m.floor, m.options); err != nil {
			return nil, err
		}
	}
	t, err := m.settlePart(few.points, o.CapHalfAngle)
	if err != nil {
		return nil, err
	}
	p := m.near.points
	m.in = make([]bool, p.Len())
	t.pick(p, &m.fit, m.gate, m.in, o.Workers)
	if m.fit, err = fitFrom(p, m.in, m.fit.CenterMM, m.fit.RadiusMM, m.options); err != nil {
		return nil, err
	}
	var surface []bool
	if o.KeepPoints {
		surface = slices.Clone(m.in)
	}
	cut, err := cutFrom(p, m.in, m.fit, o.Outliers, m.floor, m.options)
	if err != nil {
		return nil, err
	}
	sp := &Sphere{Name: nominal.Name, Fit: cut.Fit, Shape: shapeOf(p, m.in, &cut.Fit), Rejected: cut.Count, cut: cut}
	sp.cut.Kept = nil
	for i := range 3 {
		var along [4]float64
		along[i] = 1
		sp.UCenterMM[i] = cut.uncertainty(o.Outliers, along)
	}
	free := cut
	if o.Fixed {
		if free.Fit, err = fitFrom(p, m.in, cut.CenterMM, cut.RadiusMM, FitOptions{Workers: o.Workers}); err != nil {
			return nil, err
		}
	}
	sp.FreeDiameterMM, sp.UFreeMM = 2*free.RadiusMM, free.uncertainty(o.Outliers, [4]float64{0, 0, 0, 2})
	if !o.Fixed {
		sp.UDiameterMM = sp.UFreeMM
	}
	if o.KeepPoints {
		sp.Surface = p.where(func(i int) bool { return surface[i] })
		for i := range surface {
			if surface[i] {
				sp.Kept = append(sp.Kept, m.in[i])
			}
		}
	}
	return sp, nil
}

// settlePart finds the part of the surface that was scanned, fitting again as it changes.
func (m *measuring) settlePart(p Points, halfAngle float64) (t *part, err error) {
	in := make([]bool, p.Len())
	for range 3 {
		m.fit.within(p, m.gate, in, m.options.Workers)
		t = scannedPart(p, in, &m.fit, m.gate, halfAngle)
		t.pick(p, &m.fit, m.gate, in, m.options.Workers)
		if m.fit, err = fitFrom(p, in, m.fit.CenterMM, m.fit.RadiusMM, m.options); err != nil {
			return nil, err
		}
	}
	return t, nil
}
