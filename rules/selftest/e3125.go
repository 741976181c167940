package selftest

import (
	"math"
	"slices"

	"plumbrule/rules/sphere"
)

// CentreByE3125 is the procedure of ASTM E3125-17 for the centre of a sphere of known radius as NIST implements it (J. Res.
// NIST 123, 2018, 123006): the instrument in the origin, a cone of 120° towards it, a cylinder of R·sin 60° about the ray, one
// cut at 3 s, five rounds. It returns what lies in the cone, and the fit to what is kept of that, in the unit of the points.
//
// The program itself does not measure like this; it is here because NIST has published the points kept of real scans.
func CentreByE3125(p sphere.Points, radius float64) (inCone sphere.Points, result sphere.Fit, err error) {
	fixed := sphere.FitOptions{RadiusMM: radius}
	result, err = sphere.FitPoints(nearest(p, radius), fixed)
	for range 5 {
		if err != nil {
			return inCone, result, err
		}
		inCone = cone60(p, radius, result.CenterMM)
		var first sphere.Fit
		if first, err = sphere.FitPoints(inCone, fixed); err != nil {
			return inCone, result, err
		}
		result, err = sphere.FitPoints(within3S(inCone, &first), fixed)
	}
	return inCone, result, err
}

// nearest returns the points no further than half a radius behind where the sphere begins.
func nearest(p sphere.Points, radius float64) (near sphere.Points) {
	var ranges []float64
	for q := range each(p) {
		ranges = append(ranges, math.Hypot(math.Hypot(q[0], q[1]), q[2]))
	}
	sorted := slices.Sorted(slices.Values(ranges))
	n := int(min(500, 0.05*float64(len(sorted)))) - 1
	if n < 1 {
		return near
	}
	start := (sorted[(n-1)/2] + sorted[n/2]) / 2
	i := 0
	for q := range each(p) {
		if ranges[i] < start+radius/2 {
			near.XYZ = append(near.XYZ, q[:]...)
		}
		i++
	}
	return near
}

// cone60 returns the points within 60° of the direction from the centre to the origin, and within the cylinder.
func cone60(p sphere.Points, radius float64, c [3]float64) (in sphere.Points) {
	away := math.Hypot(math.Hypot(c[0], c[1]), c[2])
	for q := range each(p) {
		v := [3]float64{q[0] - c[0], q[1] - c[1], q[2] - c[2]}
		long := math.Hypot(math.Hypot(v[0], v[1]), v[2])
		along := -(float64(v[0]*c[0]) + float64(v[1]*c[1]) + float64(v[2]*c[2])) / away
		across := math.Sqrt(max(0, float64(long*long)-float64(along*along)))
		if along/long > 0.5 && across < radius*math.Sqrt(3)/2 {
			in.XYZ = append(in.XYZ, q[:]...)
		}
	}
	return in
}

// within3S returns the points less than three standard deviations off the fit.
func within3S(p sphere.Points, f *sphere.Fit) (kept sphere.Points) {
	mean, square := 0.0, 0.0
	for q := range each(p) {
		mean += f.DeviationMM(q) / float64(p.Len())
	}
	for q := range each(p) {
		square += math.Pow(f.DeviationMM(q)-mean, 2)
	}
	s := math.Sqrt(square / float64(p.Len()-1))
	for q := range each(p) {
		if math.Abs(f.DeviationMM(q)) < 3*s {
			kept.XYZ = append(kept.XYZ, q[:]...)
		}
	}
	return kept
}

func each(p sphere.Points) func(yield func(q [3]float64) bool) {
	return func(yield func(q [3]float64) bool) {
		for i := 0; i+2 < len(p.XYZ); i += 3 {
			if !yield([3]float64{p.XYZ[i], p.XYZ[i+1], p.XYZ[i+2]}) {
				return
			}
		}
	}
}
