package main

import "math"

// What stands where, in millimetres in the bar's frame.
const (
	tubeRadius  = 15.0 // that of the spheres: a piece of the tube fits a sphere well along one direction
	tubeDown    = 42.0 // from the spheres' centres to the tube's axis
	tableDown   = 75.0 // to the table
	tableHalf   = 110.0
	capDegrees  = 100.0 // half of what is seen of a sphere
	standRadius = 450.0
	marksRadius = 700.0 // of the circle on which the six marks lie round the stand
)

func standCentre() vector { return vector{400, -1100, -tableDown} }

// thing is something in the scene with the number of its points.
type thing struct {
	kind    kind
	points  int
	surface surface
	noiseUM float64
	// at is the place on the way, in metres, at which the scanner saw a point.
	at func(p vector) float64
}

// kind is what a point lies on.
type kind string

const (
	sphereA      kind = "sphere A"
	sphereC      kind = "sphere C"
	sphereAAgain kind = "sphere A again"
	secondSheet  kind = "sphere C, second sheet"
	stems        kind = "stems"
	tubes        kind = "tube"
	supports     kind = "supports"
	table        kind = "table"
	targets      kind = "targets"
	hand         kind = "hand"
	stand        kind = "hub stand"
	outliers     kind = "outliers"
)

// roughUM is the noise on everything but the spheres, which are matt and smooth.
const roughUM = 25

// stretch is a part of the way: things that are seen together, in the order in which the scanner passes them.
type stretch []thing

// stretches lays out the scene of a story, for a bar of a length.
func (s *story) stretches(a, c vector, radiusA, radiusC float64) []stretch {
	start, end := fixed(0), fixed(s.pathM)
	first := stretch{{sphereA, s.perSphere, ball(a, radiusA), sphereNoiseUM, start}}
	last := stretch{{sphereC, s.perSphere, ball(c, radiusC), sphereNoiseUM, end}}
	if s.secondSheetUM != 0 {
		last[0].points = s.perSphere / 2
		last = append(last, thing{secondSheet, s.perSphere - last[0].points, ball(c, radiusC), sphereNoiseUM, end})
	}
	at := func(p vector) float64 { return s.pathM * min(max(p[0]/c[0], 0), 1) }
	out := []stretch{first}
	switch s.way {
	case direct:
		out = append(out, append(bench(-80, c[0]+80, 1, at), append(postsAt(a, start), postsAt(c, end)...)...), last)
	case detour:
		out = append(out,
			append(bench(-80, 190, 0.3, start), postsAt(a, start)...),
			roundStand(func(degrees float64) float64 { return s.pathM * turned(degrees) }),
			append(bench(c[0]-190, c[0]+80, 0.4, end), postsAt(c, end)...), last)
	case loop:
		again := fixed(s.againM())
		out = append(out, append(bench(-80, c[0]+80, 0.5, at), append(postsAt(a, start), postsAt(c, end)...)...), last,
			roundStand(func(degrees float64) float64 { return s.pathM + float64(detourM*(1-turned(degrees))) }),
			stretch{{sphereAAgain, s.perSphere, ball(a, radiusA), sphereNoiseUM, again}})
	}
	return out
}

func fixed(metres float64) func(vector) float64 { return func(vector) float64 { return metres } }

// bench is the bar on its table between two x, with targets and a hand that steadies it; share is of the full numbers of
// points.
func bench(from, to, share float64, at func(vector) float64) stretch {
	n := func(full float64) int { return int(math.Round(full * share)) }
	out := stretch{
		{tubes, n(1300), tube(vector{from + 50, 0, -tubeDown}, vector{to - 50, 0, -tubeDown}, tubeRadius), roughUM, at},
		{table, n(1700), sheet(vector{from, -tableHalf, -tableDown}, vector{to - from, 0, 0}, vector{0, 2 * tableHalf, 0}, vector{0, 0, 1}), roughUM, at},
	}
	for i := range 10 {
		x := from + (to-from)*(float64(i)+0.4)/10
		y := math.Copysign(52+float64(i%3)*17, float64(i%2)-0.5)
		out = append(out, thing{targets, max(n(36), 12), target(vector{x, y, 0.1 - tableDown}, 5), roughUM, at})
	}
	for _, x := range []float64{from + 0.27*(to-from), from + 0.73*(to-from)} {
		for _, y := range []float64{-24, 24} {
			out = append(out, thing{supports, n(70), sheet(vector{x - 20, y, -tableDown}, vector{40, 0, 0}, vector{0, 0, 22}, vector{0, math.Copysign(1, y), 0}), roughUM, at})
		}
	}
	// The knuckle of the thumb is about as large as a sphere of the bar.
	x, y, z := from+0.55*(to-from), -70.0, 26-tableDown
	out = append(out,
		thing{hand, n(260), lump(vector{x, y - 20, z}, vector{44, 32, 21}), 10 * roughUM, at},
		thing{hand, n(60), lump(vector{x + 38, y + 6, z + 4}, vector{15.4, 15, 14.6}), 10 * roughUM, at})
	for i := range 4 {
		k := float64(i)
		out = append(out, thing{hand, n(70), finger(vector{x - 30 + 19*k, y, z + 6}, vector{x - 26 + 16*k, y + 48, z + 14}, 8.5), 10 * roughUM, at})
	}
	return out
}

// postsAt is the stem below a sphere.
func postsAt(centre vector, at func(vector) float64) stretch {
	foot, head := centre.plus(vector{0, 0, -tubeDown + tubeRadius - 2}), centre.plus(vector{0, 0, -14.2})
	return stretch{{stems, 150, stem(foot, head, 6, 3.5), roughUM, at}}
}

// roundStand is what the scanner passes on its way round the hub stand: the stand itself, and the six marks with the floor
// about them. at says where on the way an angle round the stand is seen, from 120° near A to 420° near C.
func roundStand(at func(degrees float64) float64) stretch {
	centre := standCentre()
	seen := func(p vector) float64 {
		degrees := math.Atan2(p[1]-centre[1], p[0]-centre[0]) * 180 / math.Pi
		if degrees < 90 {
			degrees += 360
		}
		return at(degrees)
	}
	out := stretch{{stand, 900, column(centre, standRadius, 250, 120, 420), roughUM, seen}}
	for i := range 6 {
		sin, cos := math.Sincos((120 + 60*float64(i)) * math.Pi / 180)
		mark := centre.plus(vector{marksRadius * cos, marksRadius * sin, 0})
		out = append(out,
			thing{targets, 30, target(mark.plus(vector{0, 0, 0.1}), 6), roughUM, seen},
			thing{table, 80, sheet(mark.plus(vector{-80, -80, 0}), vector{160, 0, 0}, vector{0, 160, 0}, vector{0, 0, 1}), roughUM, seen})
	}
	return out
}

// turned is the share of the way from A to C round the stand at an angle: half a metre leads to the circle of the marks and
// half a metre from it, the rest round it.
func turned(degrees float64) float64 {
	const lead = 0.5 / detourM
	return lead + float64((1-2*lead)*min(max((degrees-120)/300, 0), 1))
}
