package residuals

import (
	"math"
	"slices"
	"strings"
	"testing"

	"plumbrule/cmd/plumbrule/internal/show"
)

// texts are the labels of a drawing.
func texts(l *list) []string {
	var out []string
	for _, m := range l.marks {
		if m, ok := m.(label); ok {
			out = append(out, m.text)
		}
	}
	return out
}

func of(l *list, r role) []mark {
	var out []mark
	for _, m := range l.marks {
		if m.of() == r {
			out = append(out, m)
		}
	}
	return out
}

// spheres stands alone: a scene of spheres of 10 mm at the given centres, caps towards z.
func spheres(centres ...xyz) *Scene {
	s := &Scene{}
	for i, c := range centres {
		s.Spheres = append(s.Spheres, Sphere{Name: string(rune('A' + i)), CenterMM: c, RadiusMM: 10, Axis: xyz{0, 0, 1}})
	}
	return s
}

// Places of centres in their plane, worked out by hand.
func TestView(t *testing.T) {
	for name, c := range map[string]struct {
		centres  []xyz
		axis     xyz
		inRow    bool
		from, to string
		x, y     []float64
		off      float64
	}{
		"a bar":                  {[]xyz{{0, 0, 0}, {0, 300, 400}}, xyz{0, 0, 1}, true, "A", "B", []float64{0, 500}, []float64{0, 0}, 0},
		"a row":                  {[]xyz{{5, 0, 0}, {205, 1, 0}, {505, 0, 0}}, xyz{0, 0, 1}, true, "A", "C", []float64{0, 200, 500}, []float64{0, 0, 0}, 1},
		"a row, caps upward":     {[]xyz{{0, 0, 0}, {200, 0, 3}, {500, 0, 0}}, xyz{0, 0, 1}, true, "A", "C", []float64{0, 200, 500}, []float64{0, 3, 0}, 0},
		"a triangle from above":  {[]xyz{{0, 0, 0}, {400, 0, 0}, {100, 200, 0}}, xyz{0, 0, 1}, false, "A", "B", []float64{0, 400, 100}, []float64{0, 0, 200}, 0},
		"a triangle from below":  {[]xyz{{0, 0, 0}, {400, 0, 0}, {100, 200, 0}}, xyz{0, 0, -1}, false, "A", "B", []float64{0, 400, 100}, []float64{0, 0, -200}, 0},
		"a triangle on its edge": {[]xyz{{0, 0, 0}, {400, 0, 0}, {100, 0, -200}}, xyz{0, 0.1, 1}, false, "A", "B", []float64{0, 400, 100}, []float64{0, 0, -200}, 0},
		"a pyramid":              {[]xyz{{0, 0, 0}, {400, 0, 0}, {100, 200, 0}, {100, 100, 50}}, xyz{0, 0, 1}, false, "A", "B", []float64{0, 400, 100, 100}, []float64{0, 0, 200, 100}, 50},
		"one place":              {[]xyz{{1, 2, 3}, {1, 2, 3}}, xyz{0, 0, 1}, true, "", "", []float64{0, 0}, []float64{0, 0}, 0},
	} {
		s := spheres(c.centres...)
		for i := range s.Spheres {
			s.Spheres[i].Axis = c.axis
		}
		v := newView(s)
		bad := v.inRow != c.inRow || v.from != c.from || v.to != c.to || math.Abs(v.off-c.off) > 1e-9
		for i := range c.x {
			bad = bad || math.Abs(v.x[i]-c.x[i]) > 1e-9 || math.Abs(v.y[i]-c.y[i]) > 1e-9
		}
		if bad {
			t.Errorf("%s: %+v", name, v)
		}
	}
}

// Spheres and ruler are to one scale; the ruler takes at most a fifth of the page.
func TestToScale(t *testing.T) {
	for ruler, s := range map[float64]*Scene{
		200: spheres(xyz{}, xyz{300, 0, 0}, xyz{1000, 0, 0}),
		100: spheres(xyz{}, xyz{300, 0, 0}, xyz{120, 200, 0}),
		20:  spheres(xyz{}, xyz{60, 0, 0}),
	} {
		l := s.draw()
		balls := of(l, ball)
		a, b := balls[0].(circle), balls[1].(circle)
		scale := (b.x - a.x) / s.Spheres[1].CenterMM[0]
		if math.Abs(a.r-10*scale) > 1e-9 || a.y != b.y {
			t.Errorf("radius %v at a scale of %v", a.r, scale)
		}
		drawn := 0.0
		for _, m := range of(l, dimension) {
			if at := m.(strokes).at; len(at) == 3 && at[0].x1 == margin {
				drawn = (at[0].x2 - at[0].x1) / scale
			}
		}
		if want := show.Fixed(ruler, 0) + " mm"; math.Abs(drawn-ruler) > 1e-9 || !slices.Contains(texts(l), want) {
			t.Errorf("a ruler of %v mm, want %v; %q", drawn, ruler, texts(l))
		}
	}
}

// What is not to scale, not in the plane or not drawn is said.
func TestBarSaysWhatItDoesNotShow(t *testing.T) {
	all := extremes(t)
	for name, want := range map[string]string{
		"a far one":  "; spheres drawn larger than to scale",
		"coincident": "The centres coincide: there is nothing to show to scale.",
		"plate":      "and 411 more distances",
		"three":      "L–M 574.4563 mm",
		"long":       "And 12 more warnings.",
		"bar":        "A–C 800.0471 mm, u = 0.46 µm",
	} {
		if text := strings.Join(texts(all[name].draw()), "\n"); !strings.Contains(text, want) {
			t.Errorf("%s: no %q in\n%s", name, want, text)
		}
	}
	if text := texts(all["plate"].draw()); !slices.Contains(text, "Not shown: 6 more spheres.") {
		t.Errorf("%q", text)
	}
	pyramid := spheres(xyz{}, xyz{400, 0, 0}, xyz{100, 200, 0}, xyz{100, 100, 50})
	if text := strings.Join(texts(pyramid.draw()), "\n"); !strings.Contains(text, "centres lie up to 50.0 mm before or behind this plane") {
		t.Error(text)
	}
	for _, m := range of(all["plate"].draw(), dimension) {
		if n := len(m.(strokes).at); n > mostDistances {
			t.Errorf("%d lines between the spheres of the plate, expected at most %d", n, mostDistances)
		}
	}
}

// Dimension lines end below the centres they belong to, the shorter above the longer.
func TestDimensions(t *testing.T) {
	s := spheres(xyz{}, xyz{300, 0, 0}, xyz{1000, 0, 0})
	s.Distances = []Distance{{"C", "A", 1000, 0}, {"A", "B", 300, 0.5}}
	l := s.draw()
	balls, text := of(l, ball), strings.Join(texts(l), "\n")
	var lines []stroke
	for _, m := range of(l, dimension) {
		if at := m.(strokes).at; len(at) == 5 {
			lines = append(lines, at[0])
		}
	}
	at := func(i int) float64 { return balls[i].(circle).x }
	if len(lines) != 2 || lines[0].x1 != at(0) || lines[0].x2 != at(1) || lines[1].x1 != at(0) || lines[1].x2 != at(2) || lines[0].y1 >= lines[1].y1 {
		t.Errorf("%+v", lines)
	}
	for _, want := range []string{"C–A 1000.0000 mm", "A–B 300.0000 mm, u = 0.50 µm"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// A text too long for its line stands beside it, where the page has room.
func TestShortDimensions(t *testing.T) {
	s := spheres(xyz{}, xyz{30, 0, 0}, xyz{970, 0, 0}, xyz{1000, 0, 0})
	s.Distances = []Distance{{"A", "B", 30, 0.5}, {"C", "D", 30, 0.5}}
	l := s.draw()
	balls := of(l, ball)
	for _, m := range of(l, figure) {
		m := m.(label)
		left, right := m.x, m.x+extent(m.text)
		if m.anchor == atEnd {
			left, right = m.x-extent(m.text), m.x
		}
		if left < balls[1].(circle).x || right > balls[2].(circle).x {
			t.Errorf("%+v from %v to %v", m, left, right)
		}
	}
}

// Names that would meet stand above each other.
func TestNamesInARow(t *testing.T) {
	at := map[string]float64{}
	for _, m := range of(extremes(t)["nearly coincident"].draw(), heading) {
		at[m.(label).text] = m.(label).y
	}
	if at["A"] != at["C"] || at["A"]-at["A again"] < lineHeight {
		t.Errorf("base lines at %v", at)
	}
}

// The labels of two circles close together would stand on each other.
func TestLabelsOfCircles(t *testing.T) {
	all := extremes(t)
	for name, want := range map[string]string{"all round": "30° 60° 90° 120° 180°", "one": "30° 60° 90° 120°", "bare": "30° 60°"} {
		var got []string
		for _, m := range of(all[name].draw(), degrees) {
			got = append(got, m.(label).text)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %v, want %s", name, got, want)
		}
	}
}

func TestBeside(t *testing.T) {
	for _, c := range []struct {
		value, sd float64
		want      string
	}{
		{12.345, 12.3, "12.3"},
		{84.16, 120, "84.2"}, // one decimal at least
		{0.01234, 0.0041, "0.0123"},
		{0, 12, "0"},
		{3e-12, 1e-12, "3.0e-12"},
		{-4e9, 1e9, "-4.0e+09"},
		{7.25, 0, "7.2"}, // half to even
	} {
		if got := beside(c.value, c.sd); got != c.want {
			t.Errorf("beside(%v, %v) = %s, want %s", c.value, c.sd, got, c.want)
		}
	}
	for n, want := range map[int]string{0: "0 points", 1: "1 point", 999: "999 points", 1000: "1 000 points", 1234567: "1 234 567 points"} {
		if got := counted(n, "point"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
