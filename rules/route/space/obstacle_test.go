package space_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/route/space"
)

// By hand: what passes through, what misses, and what only touches.
func TestBlocks(t *testing.T) {
	box := space.Box{Least: space.Point{0, 0, 0}, Most: space.Point{10, 20, 30}}
	ball := space.Ball{Centre: space.Point{0, 0, 0}, Radius: 5}
	upright := space.Cylinder{From: space.Point{0, 0, 0}, To: space.Point{0, 0, 10}, Radius: 3}
	slanted := space.Cylinder{From: space.Point{0, 0, 0}, To: space.Point{10, 10, 0}, Radius: 1}
	for _, c := range []struct {
		name     string
		shape    space.Shape
		from, to space.Point
		want     bool
	}{
		{"through a box", box, space.Point{-5, 10, 15}, space.Point{15, 10, 15}, true},
		{"across a corner", box, space.Point{-1, 1, 1}, space.Point{1, -1, 1}, false}, // meets the edge x = y = 0 only
		{"across a corner, inside", box, space.Point{-1, 2, 1}, space.Point{2, -1, 1}, true},
		{"along a face", box, space.Point{-5, 0, 15}, space.Point{15, 0, 15}, false},
		{"ends before a box", box, space.Point{-5, 10, 15}, space.Point{-1, 10, 15}, false},
		{"ends on a box", box, space.Point{-5, 10, 15}, space.Point{0, 10, 15}, false},
		{"begins inside a box", box, space.Point{5, 10, 15}, space.Point{50, 10, 15}, true},
		{"over a box", box, space.Point{-5, 10, 31}, space.Point{15, 10, 31}, false},
		{"no length, inside", box, space.Point{5, 5, 5}, space.Point{5, 5, 5}, true},
		{"through a ball", ball, space.Point{-9, 1, 1}, space.Point{9, 1, 1}, true},
		{"touches a ball", ball, space.Point{-9, 5, 0}, space.Point{9, 5, 0}, false},
		{"misses a ball", ball, space.Point{-9, 5.01, 0}, space.Point{9, 5.01, 0}, false},
		{"ends before a ball", ball, space.Point{-9, 0, 0}, space.Point{-5, 0, 0}, false},
		{"inside a ball", ball, space.Point{-1, 0, 0}, space.Point{1, 0, 0}, true},
		{"through a cylinder", upright, space.Point{-9, 0, 5}, space.Point{9, 0, 5}, true},
		{"over a cylinder", upright, space.Point{-9, 0, 10.1}, space.Point{9, 0, 10.1}, false},
		{"along its lid", upright, space.Point{-9, 0, 10}, space.Point{9, 0, 10}, false},
		{"down its axis", upright, space.Point{0, 0, 20}, space.Point{0, 0, 9}, true},
		{"down beside it", upright, space.Point{3.5, 0, 20}, space.Point{3.5, 0, -9}, false},
		{"slanting over its rim", upright, space.Point{-6, 0, 5}, space.Point{0, 0, 16}, false}, // at x = -3 it is at z = 10.5
		{"slanting into its rim", upright, space.Point{-6, 0, 4}, space.Point{0, 0, 15}, true},  // at x = -3 it is at z = 9.5
		{"across a slanted one", slanted, space.Point{10, 0, 0}, space.Point{0, 10, 0}, true},
		{"beside a slanted one", slanted, space.Point{2, 0, 0}, space.Point{12, 10, 0}, false}, // 1.41 from the axis
		{"parallel inside a slanted one", slanted, space.Point{1, 0, 0}, space.Point{11, 10, 0}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.shape.Blocks(c.from, c.to); got != c.want {
				t.Errorf("got %v", got)
			}
			if got := c.shape.Blocks(c.to, c.from); got != c.want {
				t.Errorf("backwards: got %v", got)
			}
		})
	}
}

func drawPoint(r *rapid.T, name string) space.Point {
	f := rapid.Float64Range(-10, 10)
	return space.Point{f.Draw(r, name), f.Draw(r, name), f.Draw(r, name)}
}

// A line is blocked where a fine row of places on it finds one inside, and not where it stays clear of the solid made a
// little larger.
func TestBlocksAgainstPlacesOnTheLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a, b, radius := drawPoint(r, "a"), drawPoint(r, "b"), rapid.Float64Range(0.5, 6).Draw(r, "radius")
		var shape, larger space.Shape
		switch rapid.IntRange(0, 2).Draw(r, "shape") {
		case 0:
			var least, most, outer, further space.Point
			for i := range a {
				least[i], most[i] = min(a[i], b[i]), max(a[i], b[i])+0.5
				outer[i], further[i] = least[i]-0.1, most[i]+0.1
			}
			shape, larger = space.Box{Least: least, Most: most}, space.Box{Least: outer, Most: further}
		case 1:
			shape, larger = space.Ball{Centre: a, Radius: radius}, space.Ball{Centre: a, Radius: radius + 0.1}
		default:
			if space.Distance(a, b) < 0.5 {
				return
			}
			beyond := 0.1 / space.Distance(a, b)
			shape = space.Cylinder{From: a, To: b, Radius: radius}
			larger = space.Cylinder{From: a.Towards(b, -beyond), To: a.Towards(b, 1+beyond), Radius: radius + 0.1}
		}
		if err := shape.Check(); err != nil {
			r.Fatal(err)
		}
		from, to := drawPoint(r, "from"), drawPoint(r, "to")
		inside, near := false, false
		least, most := shape.Bounds()
		for i := range 1001 {
			p := from.Towards(to, float64(i)/1000)
			near = near || larger.Holds(p)
			if shape.Holds(p) {
				inside = inside || i > 0 && i < 1000
				for k := range p {
					if p[k] < least[k]-1e-9 || p[k] > most[k]+1e-9 {
						r.Fatalf("%v lies inside and outside the bounds %v to %v", p, least, most)
					}
				}
			}
		}
		if got := shape.Blocks(from, to); inside && !got || !near && got {
			r.Fatalf("%#v: line %v to %v blocked: %v; a place inside: %v, within 0.1 of it: %v", shape, from, to, got, inside, near)
		}
	})
}

func TestShapesWithoutInside(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		shape space.Shape
		want  string
	}{
		{space.Box{Most: space.Point{1, 1, 0}}, "a box from z = 0 to 0 mm, expected the lower corner first"},
		{space.Box{Least: space.Point{2, 0, 0}, Most: space.Point{1, 1, 1}}, "a box from x = 2 to 1 mm, expected the lower corner first"},
		{space.Box{Most: space.Point{1, nan, 1}}, "a place that is not three numbers of at most 1e9 mm in size, expected x, y and z"},
		{space.Ball{}, "a radius of 0 mm, expected one above 0 and up to 1e9"},
		{space.Ball{Radius: nan}, "a radius of NaN mm, expected one above 0 and up to 1e9"},
		{space.Ball{Centre: space.Point{2e9}, Radius: 1}, "a place that is not three numbers of at most 1e9 mm in size, expected x, y and z"},
		{space.Cylinder{Radius: 1}, "a cylinder whose two ends are one place, expected the middles of both ends"},
		{space.Cylinder{To: space.Point{1}, Radius: -1}, "a radius of -1 mm, expected one above 0 and up to 1e9"},
	} {
		if err := c.shape.Check(); err == nil || err.Error() != c.want {
			t.Errorf("%#v: %v, want %s", c.shape, err, c.want)
		}
	}
}
