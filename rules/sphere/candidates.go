package sphere

import (
	"math"
	"slices"
)

// Why a candidate is no sphere of the artifact; the numbers that decide were set with artificial scenes and the published
// scans of a real sphere.
const (
	sizeTolerance = 0.03 // of the diameter: far beyond any error of a device that can be measured with at all
	mostScatter   = 0.03 // of the radius
	mostLeak      = 0.3  // points beside the surface for each on it
	leastCoverage = 0.02 // of the sphere's surface, a cap of 16° half-angle
)

// candidate is a sphere found in the sample.
type candidate struct {
	fit    Fit
	gateMM float64
	points int
	when   int // in the sample, for the order of names
}

// Edges of the cubes that the surface is cut into, in radii: small ones first, as they bend less; larger ones gather enough
// points of a sphere that has few.
const (
	fineCubes   = 1.0 / 3
	coarseCubes = 0.6
)

// candidatesIn looks for spheres of a radius in a sample of the scan, cut into cubes of an edge in radii.
func candidatesIn(p Points, radius, edge float64, workers int) []candidate {
	var out []candidate
	centres := centresOf(patchesOf(p, edge*radius), radius)
	if len(centres) == 0 {
		return nil
	}
	index := newIndex(p, radius)
	for _, centre := range centres {
		// What has led to a sphere already need not be looked at again.
		if slices.ContainsFunc(out, func(o candidate) bool { return norm(minus(o.fit.CenterMM, centre)) < radius/2 }) {
			continue
		}
		c, ok := lookCloser(index.near(centre, 1.3*radius), centre, radius, workers)
		if !ok {
			continue
		}
		if i := slices.IndexFunc(out, func(o candidate) bool {
			return norm(minus(o.fit.CenterMM, c.fit.CenterMM)) < radius
		}); i >= 0 {
			if c.points > out[i].points {
				out[i] = c
			}
			continue
		}
		out = append(out, c)
	}
	return out
}

// roundingShare of the largest coordinate is more than what arithmetic in double precision loses, and far less than any scan
// scatters: deviations that small are no outliers.
const roundingShare = 1e-10

// roughSteps are enough for a start that is right; one that is wrong is not worth more.
const roughSteps = 6

// lookCloser fits a sphere to the surroundings of a supposed centre and decides whether it is one of the size wanted.
func lookCloser(near Points, centre vector, radius float64, workers int) (candidate, bool) {
	o := FitOptions{RadiusMM: radius, Workers: workers, steps: roughSteps}
	f := Fit{CenterMM: centre, RadiusMM: radius}
	var err error
	gate := 0.2 * radius
	in := make([]bool, near.Len())
	for range 4 {
		f.within(near, gate, in, workers)
		if f, err = fitFrom(near, in, f.CenterMM, radius, o); err != nil || norm(minus(f.CenterMM, centre)) > 0.5*radius {
			return candidate{}, false
		}
		gate = math.Max(gate/2, math.Min(gate, GateFactor*robustSD(deviationsNear(near, &f, gate))))
	}
	o.RadiusMM = 0
	f.Fixed = false
	floor := roundingShare * (norm(centre) + radius)
	if f, gate, err = settle(near, f, math.Max(gate, 0.02*radius), floor, o); err != nil {
		return candidate{}, false
	}
	c := candidate{fit: f, gateMM: gate, points: f.Points}
	return c, c.plausible(near, radius)
}

// plausible reports whether a fit is that of a sphere of the radius wanted.
func (c *candidate) plausible(near Points, radius float64) bool {
	f := &c.fit
	if f.Points < leastPoints || gateSD(c.gateMM) > mostScatter*radius || math.Abs(f.RadiusMM-radius) > sizeTolerance*radius {
		return false
	}
	// A cylinder, a plane, a larger ball touch the sphere fitted into them and go on outside; a sphere ends where it ends.
	gate := math.Max(c.gateMM, 0.004*radius)
	on, beside := 0, 0
	seen := cellsFor(f.Points, vector{0, 0, 1})
	covered := make([]bool, seen.n())
	cover := 0
	for i := range near.Len() {
		switch d := math.Abs(f.DeviationMM(near.at(i))); {
		case d <= gate:
			on++
			if k := seen.of(unit(minus(near.at(i), f.CenterMM))); !covered[k] {
				covered[k] = true
				cover++
			}
		case d <= 3*gate:
			beside++
		}
	}
	if float64(beside) > mostLeak*float64(on) {
		return false
	}
	return float64(cover) >= leastCoverage*float64(seen.n())
}

// gateSD is the robust standard deviation a gate came from.
func gateSD(gate float64) float64 { return gate / GateFactor }

// leastPoints is the number of points below which nothing is called a sphere.
const leastPoints = 12
