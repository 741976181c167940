package main

import (
	"cmp"
	"math"
	"slices"
)

// point is one point of a scan in millimetres in the scan's frame.
type point struct {
	at   vector
	kind kind
}

// scan is a made scan with what is true of it.
type scan struct {
	*story
	bar    reference
	points []point
	counts map[kind]int

	// Places in the scan's frame in millimetres, and diameters as the scan shows them.
	a, c, aAgain         vector
	diameterA, diameterC float64
	second               vector // from the first to the second layer on C
}

// outlierShare is the share of points that lie on nothing.
const outlierShare = 0.005

// make makes the scan of a story.
func (s *story) make(bar reference) *scan {
	out := &scan{story: s, bar: bar, counts: map[kind]int{}}
	a, c := vector{}, vector{bar.warm(bar.distance, s.celsius), 0, 0}
	out.diameterA = bar.warm(bar.diameterA, s.celsius) + s.sizeAUM/1000
	out.diameterC = bar.warm(bar.diameterC, s.celsius) + s.sizeCUM/1000

	placing := newDraws(s.seed, 0)
	where := newPose(placing.between(-40, 40), placing.between(-4, 4), vector{placing.between(-150, 150), placing.between(200, 500), placing.between(-300, 0)})
	registration := newDrift(newDraws(s.seed, 1), s.pins())
	// Shown is where registration lets a place appear that was seen after so many metres.
	shown := func(p vector, metres float64) vector {
		return where.placed(p.plus(registration.at(metres).times(1e-3)))
	}
	out.a, out.c, out.aAgain = shown(a, 0), shown(c, s.pathM), shown(a, s.againM())
	out.second = where.turned(vector{0.62, -0.41, 0.67}.unit().times(s.secondSheetUM / 1000))

	for i, part := range s.stretches(a, c, out.diameterA/2, out.diameterC/2) {
		random := newDraws(s.seed, uint64(2+i))
		var made []seen
		for _, t := range part {
			for range t.points {
				p, outward := t.surface(random)
				metres := t.at(p)
				p = p.plus(outward.times(float64(t.noiseUM*random.normal()) / 1000))
				q := shown(p, metres)
				if t.kind == secondSheet {
					q = q.plus(out.second)
				}
				made = append(made, seen{point{q, t.kind}, metres})
			}
		}
		made = append(made, strays(random, made)...)
		// In the order of the way; what is seen at one place stays as it was drawn.
		slices.SortStableFunc(made, func(a, b seen) int { return cmp.Compare(a.metres, b.metres) })
		for _, m := range made {
			out.points = append(out.points, m.point)
			out.counts[m.kind]++
		}
	}
	return out
}

// seen is a point with the place on the way from which it was seen.
type seen struct {
	point
	metres float64
}

// strays are points on nothing: six in ten beside something that was seen, at most two millimetres off, as at an edge; the
// rest anywhere about.
func strays(random draws, among []seen) []seen {
	low, high := among[0].at, among[0].at
	for _, m := range among {
		for k := range 3 {
			low[k], high[k] = min(low[k], m.at[k]), max(high[k], m.at[k])
		}
	}
	var out []seen
	for range int(math.Round(outlierShare * float64(len(among)))) {
		beside := among[int(random.uniform()*float64(len(among)))]
		at := beside.at.plus(onSphere(random, -1).times(random.between(0.1, 2)))
		if random.uniform() < 0.4 {
			for k := range 3 {
				at[k] = random.between(low[k]-20, high[k]+20)
			}
		}
		out = append(out, seen{point{at, outliers}, beside.metres})
	}
	return out
}
