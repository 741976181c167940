package sphere

import (
	"math"
	"slices"
)

// madFactor turns the median of absolute deviations of Gaussian values into their standard deviation: 1/Φ⁻¹(3/4).
const madFactor = 1.4826022185056018

// GateFactor times the robust standard deviation is how far from the sphere a point may lie to be taken for one of its
// surface. Of Gaussian deviations 2 in 10⁹ are larger.
const GateFactor = 6

// robustSD estimates the standard deviation of deviations from their median absolute value; a share of outliers hardly
// moves it. It reorders the values. 0 for none.
func robustSD(deviations []float64) float64 {
	if len(deviations) == 0 {
		return 0
	}
	for i, v := range deviations {
		deviations[i] = math.Abs(v)
	}
	return madFactor * median(deviations)
}

// median returns the middle value, reordering the values.
func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// deviationsNear returns the deviations of at most some 20 000 points that lie within gate of a sphere.
func deviationsNear(p Points, f *Fit, gate float64) []float64 {
	stride := max(1, p.Len()/20_000)
	out := make([]float64, 0, p.Len()/stride+1)
	for i := 0; i < p.Len(); i += stride {
		if d := f.DeviationMM(p.at(i)); math.Abs(d) <= gate {
			out = append(out, d)
		}
	}
	return out
}

// settle fits a sphere to points that contain its surface and other things: it fits, estimates the scatter robustly, and
// keeps what lies within [GateFactor] times of it, until the set stays the same. It returns the fit of the points within
// the gate, and the gate. floor is the least gate.
func settle(p Points, f Fit, gate, floor float64, o FitOptions) (Fit, float64, error) {
	in := make([]bool, p.Len())
	for round := range 30 {
		sd := robustSD(deviationsNear(p, &f, gate))
		next := math.Max(GateFactor*sd, floor)
		if round < 4 {
			next = math.Min(next, gate) // first inward only: far things must not come back while the start is still rough
		}
		f.within(p, next, in, o.Workers)
		g, err := fitFrom(p, in, f.CenterMM, f.RadiusMM, o)
		if err != nil {
			return Fit{}, 0, err
		}
		moved := norm(minus(g.CenterMM, f.CenterMM)) + math.Abs(g.RadiusMM-f.RadiusMM)
		same := g.Points == f.Points && moved <= 1e-12*(norm(g.CenterMM)+g.RadiusMM)
		f, gate = g, next
		if same && round >= 4 {
			break
		}
	}
	return f, gate, nil
}
