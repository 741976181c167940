package residuals

import (
	"math"
	"math/rand/v2"
	"testing"
)

// scanned is an invented sphere, seen within halfAngle degrees of its axis: count points with normal noise of sdUM, a few
// rejected, and what form adds to a residual, given the direction from the centre.
func scanned(name string, centre [3]float64, radius, halfAngle, sdUM float64, count int, form func(u [3]float64) float64) Sphere {
	random := rand.New(rand.NewPCG(7, uint64(count)+uint64(name[0])))
	s := Sphere{
		Name: name, CenterMM: centre, RadiusMM: radius, HalfAngleDegrees: halfAngle,
		Axis: [3]float64{0.05, -0.02, 1}, CoveragePercent: 50 * (1 - math.Cos(halfAngle*math.Pi/180)), Verdict: "pass",
	}
	f, _ := newFrame(s.Axis, xyz{1, 0, 0})
	lowest := math.Cos(halfAngle * math.Pi / 180)
	least, most, squares, kept := math.Inf(1), math.Inf(-1), 0.0, 0
	for i := range count {
		up, turn := 1-random.Float64()*(1-lowest), 2*math.Pi*random.Float64()
		if random.Float64() < 0.5*math.Abs(math.Sin(1.5*turn)) && i > count/2 {
			up = 1 - 0.3*(1-up) // uneven, as scans are
		}
		side := math.Sqrt(1 - up*up)
		u := along(along(along(xyz{}, up, f.axis), side*math.Cos(turn), f.right), side*math.Sin(turn), f.up)
		residual := sdUM*random.NormFloat64() + form(u)
		out := math.Abs(residual) > 3*sdUM || i%977 == 0
		if out {
			residual *= 6
		} else {
			least, most, squares, kept = min(least, residual), max(most, residual), squares+residual*residual, kept+1
		}
		p := along(centre, radius+residual/1000, u)
		s.PointsMM = append(s.PointsMM, p[:]...)
		s.ResidualUM = append(s.ResidualUM, residual)
		s.Rejected = append(s.Rejected, out)
	}
	if kept > 0 {
		s.SDUM, s.FormUM = math.Sqrt(squares/float64(kept)), most-least
	}
	return s
}

func noForm([3]float64) float64 { return 0 }

// bar is a ball bar in order: A as it should be, C with a seam between two views.
func bar(points int) *Scene {
	return &Scene{
		Title: "2026-11-02-bar-800.ply", Subtitle: "bar-800, 2 spheres found, unit mm",
		Spheres: []Sphere{
			scanned("A", [3]float64{12.4, -80.2, 310.7}, 15.0002, 100, 12, points, noForm),
			scanned("C", [3]float64{811.9, -60.1, 322.5}, 14.9989, 88, 12, points, func(u [3]float64) float64 {
				if u[0]+0.4*u[1] > 0.2 {
					return 16
				}
				return -11
			}),
		},
		Distances: []Distance{{"A", "C", 800.04712, 0.46}},
		Warnings: []string{
			"sphere C: the residuals form two sheets about 27 µm apart; the views may not fit together",
			"the file does not say its unit; mm were taken because the diameters found are those of the bar",
		},
		Footer: "s and u from the fit alone, with points taken as independent: a lower bound. Fitted by orthogonal least squares, cut once at 3 s.",
	}
}

// extremes are scenes that a drawing must survive.
func extremes(tb testing.TB) map[string]*Scene {
	tb.Helper()
	change := func(s *Scene, how func(*Scene)) *Scene {
		how(s)
		return s
	}
	one := func() *Scene {
		s := bar(600)
		s.Spheres, s.Distances = s.Spheres[:1], nil
		return s
	}
	hostile := "</text><script>alert(1)</script>\x00\x1b[31m\u202e\r\n&\"' \xff 漢字漢字 ]]>"
	out := map[string]*Scene{
		"one":   one(),
		"bar":   bar(4000),
		"dense": bar(40_000),
		"bare":  {Spheres: []Sphere{{Name: "A", RadiusMM: 15, Axis: [3]float64{0, 0, 1}}}},
		"exact": change(one(), func(s *Scene) {
			for i := range s.Spheres[0].ResidualUM {
				s.Spheres[0].ResidualUM[i] = 0
			}
			s.Spheres[0].SDUM, s.Spheres[0].FormUM = 0, 0
		}),
		"all rejected": change(one(), func(s *Scene) {
			for i := range s.Spheres[0].Rejected {
				s.Spheres[0].Rejected[i] = true
			}
		}),
		"tiny spread": change(one(), func(s *Scene) {
			for i := range s.Spheres[0].ResidualUM {
				s.Spheres[0].ResidualUM[i] *= 1e-300
			}
			s.Spheres[0].SDUM, s.Spheres[0].FormUM = 1.2e-299, 8e-299
		}),
		"large spread": change(one(), func(s *Scene) {
			for i := range s.Spheres[0].ResidualUM {
				s.Spheres[0].ResidualUM[i] *= 1e9
			}
			s.Spheres[0].SDUM, s.Spheres[0].FormUM = 1.2e10, 8e10
		}),
		"points at the centre": change(one(), func(s *Scene) {
			copy(s.Spheres[0].PointsMM, append(s.Spheres[0].CenterMM[:], s.Spheres[0].CenterMM[:]...))
			s.Spheres[0].Rejected[1] = false
		}),
		"all round": {Spheres: []Sphere{scanned("A", [3]float64{}, 15, 180, 12, 9000, noForm)}},
		"a far one": change(bar(600), func(s *Scene) { s.Spheres[1].CenterMM[0] = 9e8 }),
		"coincident": change(bar(600), func(s *Scene) {
			s.Spheres[1].CenterMM = s.Spheres[0].CenterMM
			s.Distances[0].MM = 0
		}),
		"nearly coincident": change(bar(600), func(s *Scene) {
			b := scanned("A again", [3]float64{12.5, -80.1, 310.6}, 15, 100, 12, 600, noForm)
			s.Spheres = append(s.Spheres, b)
			s.Distances = append(s.Distances, Distance{"A", "A again", 0.1732, 0.4}, Distance{"A again", "C", 799.94, 0})
		}),
		"no points": change(bar(600), func(s *Scene) {
			for i := range s.Spheres {
				s.Spheres[i].PointsMM, s.Spheres[i].ResidualUM, s.Spheres[i].Rejected = nil, nil, nil
			}
		}),
		"no size": change(bar(600), func(s *Scene) {
			for i := range s.Spheres {
				s.Spheres[i].RadiusMM = 1e-9
				s.Spheres[i].CenterMM[1], s.Spheres[i].CenterMM[2] = 0, 0
			}
		}),
		"hostile": change(bar(600), func(s *Scene) {
			s.Title, s.Subtitle, s.Footer = hostile, hostile, hostile
			s.Warnings = []string{hostile, hostile}
			s.Spheres[0].Name, s.Spheres[0].Verdict = hostile, hostile
			s.Distances[0].From = hostile
		}),
		"long": change(bar(600), func(s *Scene) {
			text := "a text that does not end"
			for range 8 {
				text += ", " + text
			}
			s.Title, s.Subtitle, s.Footer = text, text, text
			for range 30 {
				s.Warnings = append(s.Warnings, text)
			}
			s.Spheres[0].Name, s.Spheres[0].Verdict = text, text
			s.Distances[0].From = text
		}),
		"seen along the bar": change(bar(600), func(s *Scene) {
			s.Spheres[0].Axis, s.Spheres[1].Axis = [3]float64{1, 0, 0}, [3]float64{1, 0, 0}
		}),
	}
	row := &Scene{Title: "Four in a row"}
	for i, x := range []float64{0, 30, 400, 1000} {
		row.Spheres = append(row.Spheres, scanned(string(rune('A'+i)), [3]float64{x, 3 * float64(i%2), 0}, 10, 95, 15, 2000, noForm))
		for j := range i {
			from := row.Spheres[j]
			row.Distances = append(row.Distances, Distance{from.Name, row.Spheres[i].Name, math.Hypot(x-from.CenterMM[0], 0), 1.25})
		}
	}
	out["row"] = row
	plate := &Scene{Title: "Plate"}
	for i := range 30 {
		name := "P" + string(rune('A'+i))
		plate.Spheres = append(plate.Spheres, scanned(name, [3]float64{133 * float64(i%6), 133 * float64(i/6), float64(i % 3)}, 11, 85, 10, 500, noForm))
		for j := range i {
			plate.Distances = append(plate.Distances, Distance{plate.Spheres[j].Name, name, 133, 0.5})
		}
	}
	plate.Warnings = []string{"spheres PA and PF can be swapped"}
	out["plate"] = plate
	three := &Scene{Title: "Tetrahedron's foot"}
	for i, at := range [][3]float64{{0, 0, 0}, {600, 0, 40}, {250, 450, -30}} {
		three.Spheres = append(three.Spheres, scanned(string(rune('K'+i)), at, 25, 110, 18, 3000, noForm))
	}
	three.Distances = []Distance{{"K", "L", 601.3319, 0.62}, {"K", "M", 515.6549, 0.7}, {"L", "M", 574.4563, 0}}
	out["three"] = three
	return out
}
