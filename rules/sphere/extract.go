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

	// StepMM is the spacing of the numbers in the file at the largest coordinate; 0 if that is fine enough.
	StepMM float64

	Workers int
}

// How thinly the scan is looked at first, and a second time if that was too thin.
const (
	firstSample  = 300_000
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
		reach[i] = math.Max(2*chosen[i].gateMM, 0.05*fits[i].RadiusMM)
		expect[i] = int(1.05*float64(chosen[i].points)*float64(s.stride)) + 1000
	}
	near, err := gather(ctx, source, o.MMPerUnit, fits, reach, expect)
	if err != nil {
		return err
	}
	floor := math.Max(1e-7*s.reach, o.StepMM)
	for i := range chosen {
		var others [][]uint32
		for k := range near {
			if k != i {
				others = append(others, near[k].order)
			}
		}
		if err := r.fitOne(w.Spheres[i], &near[i], others, chosen[i], floor, o); err != nil {
			return err
		}
	}
	for _, d := range w.Distances {
		a, b := r.Named(d.From), r.Named(d.To)
		v := minus(b.CenterMM, a.CenterMM)
		r.Distances = append(r.Distances, Distance{
			From: d.From, To: d.To, MM: norm(v), UMM: math.Hypot(a.cut.uncertainty(o.Outliers, along(v)), b.cut.uncertainty(o.Outliers, along(v))),
		})
	}
	r.warnOfWhole(w, o)
	return nil
}

// fitOne fits one sphere to the points near it.
func (r *Result) fitOne(nominal NominalSphere, near *surroundings, others [][]uint32, c candidate, floor float64, o *Options) error {
	options := FitOptions{Workers: o.Workers}
	undetermined := &Error{
		Reason: NoSphere, Found: fmt.Sprintf("the points near (%.1f, %.1f, %.1f) determine no sphere %s", c.fit.CenterMM[0], c.fit.CenterMM[1], c.fit.CenterMM[2], nominal.Name),
		Mend: "scan more of its surface",
	}
	p := near.points
	if p.Weight != nil && !slices.ContainsFunc(p.Weight, func(w float64) bool { return w > 0 }) {
		p.Weight = nil
	}
	fit, gate, err := settle(p, c.fit, c.gateMM, floor, options)
	if err != nil {
		return undetermined
	}
	seen := visitsOf(p, fit, gate, runsOf(near.order, others), options)
	if seen.closure != nil {
		p = p.where(func(i int) bool { return seen.use[i] })
		if fit, gate, err = settle(p, fit, gate, floor, options); err != nil {
			return undetermined
		}
		seen.closure.Sphere = nominal.Name
		r.Closures = append(r.Closures, *seen.closure)
	}
	free := fit
	if o.Fixed {
		options.RadiusMM = nominal.DiameterMM / 2
		start := fit
		start.RadiusMM = options.RadiusMM
		if fit, gate, err = settle(p, start, gate, floor, options); err != nil {
			return undetermined
		}
	}
	in := make([]bool, p.Len())
	for range 3 {
		fit.within(p, gate, in, o.Workers)
		scannedPart(p, in, &fit, gate)
		capped(p, in, &fit, o.CapHalfAngle)
		if fit, err = fitFrom(p, in, fit.CenterMM, fit.RadiusMM, options); err != nil {
			return undetermined
		}
	}
	surface := slices.Clone(in)
	cut, err := cutFrom(p, in, fit, o.Outliers, floor, options)
	if err != nil {
		return undetermined
	}
	sp := Sphere{Name: nominal.Name, Fit: cut.Fit, Shape: shapeOf(p, in, &cut.Fit), Rejected: cut.Count, cut: cut}
	for i := range 3 {
		var along [4]float64
		along[i] = 1
		sp.UCenterMM[i] = cut.uncertainty(o.Outliers, along)
	}
	if !o.Fixed {
		free = sp.Fit
	} else if free, err = fitFrom(p, in, free.CenterMM, free.RadiusMM, FitOptions{Workers: o.Workers}); err != nil {
		return undetermined
	}
	freeCut := cut
	freeCut.Fit = free
	sp.FreeDiameterMM, sp.UFreeMM = 2*free.RadiusMM, freeCut.uncertainty(o.Outliers, [4]float64{0, 0, 0, 2})
	if !o.Fixed {
		sp.UDiameterMM = sp.UFreeMM
	}
	r.Spheres = append(r.Spheres, sp)
	r.warnOfSphere(&sp, p, in, gate, &seen, o)
	if o.KeepPoints {
		last := &r.Spheres[len(r.Spheres)-1]
		last.Surface = p.where(func(i int) bool { return surface[i] })
		for i := range surface {
			if surface[i] {
				last.Kept = append(last.Kept, in[i])
			}
		}
	}
	return nil
}
