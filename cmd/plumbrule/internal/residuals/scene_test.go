package residuals

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		want  string
		spoil func(s *Scene)
	}{
		{"a picture without spheres; expected at least one", func(s *Scene) { s.Spheres = nil }},
		{"sphere 2 has no name", func(s *Scene) { s.Spheres[1].Name = "" }},
		{`two spheres are named "A"`, func(s *Scene) { s.Spheres[1].Name = "A" }},
		{`sphere "C": 27 coordinates for 10 residuals; expected three for each`, func(s *Scene) { s.Spheres[1].PointsMM = s.Spheres[1].PointsMM[:27] }},
		{`sphere "C": 9 marks of rejection for 10 residuals`, func(s *Scene) { s.Spheres[1].Rejected = s.Spheres[1].Rejected[:9] }},
		{`sphere "A": the centre's y in mm is NaN`, func(s *Scene) { s.Spheres[0].CenterMM[1] = math.NaN() }},
		{`sphere "A": the centre's z in mm is 1e+10; expected -1e+09 to 1e+09`, func(s *Scene) { s.Spheres[0].CenterMM[2] = 1e10 }},
		{`sphere "A": the radius in mm is -15`, func(s *Scene) { s.Spheres[0].RadiusMM = -15 }},
		{`sphere "A": the radius is 0; expected one above it`, func(s *Scene) { s.Spheres[0].RadiusMM = 0 }},
		{`sphere "A": the standard deviation in µm is +Inf`, func(s *Scene) { s.Spheres[0].SDUM = math.Inf(1) }},
		{`sphere "A": the form in µm is -1`, func(s *Scene) { s.Spheres[0].FormUM = -1 }},
		{`sphere "A": the coverage in percent is 100.1; expected 0 to 100`, func(s *Scene) { s.Spheres[0].CoveragePercent = 100.1 }},
		{`sphere "A": the half-angle in degrees is 181; expected 0 to 180`, func(s *Scene) { s.Spheres[0].HalfAngleDegrees = 181 }},
		{`sphere "A": the axis of its cap is [0 0 0]; expected a direction`, func(s *Scene) { s.Spheres[0].Axis = xyz{} }},
		{`sphere "A": the axis of its cap is [0 0 NaN]; expected a direction`, func(s *Scene) { s.Spheres[0].Axis = xyz{0, 0, math.NaN()} }},
		{`sphere "A": a coordinate of point 3 is -Inf mm`, func(s *Scene) { s.Spheres[0].PointsMM[7] = math.Inf(-1) }},
		{`sphere "A": the residual of point 10 is NaN µm`, func(s *Scene) { s.Spheres[0].ResidualUM[9] = math.NaN() }},
		{`a distance from "A" to "D"; expected the names of two spheres of the picture`, func(s *Scene) { s.Distances[0].To = "D" }},
		{`a distance from "A" to "A"; expected the names of two spheres`, func(s *Scene) { s.Distances[0].To = "A" }},
		{`the distance from "A" to "C" is NaN mm; expected 0 to 1e+09 mm`, func(s *Scene) { s.Distances[0].MM = math.NaN() }},
		{`the uncertainty of the distance from "A" to "C" is -1 µm`, func(s *Scene) { s.Distances[0].UUM = -1 }},
	} {
		s := bar(10)
		c.spoil(s)
		var out bytes.Buffer
		for name, err := range map[string]error{"SVG": SVG(&out, s), "PNG": PNG(&out, s)} {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: %v, want %s", name, err, c.want)
			}
		}
		if out.Len() > 0 {
			t.Errorf("%d bytes written in spite of: %s", out.Len(), c.want)
		}
	}
}

// broken takes no more.
type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, fmt.Errorf("no room") }

func TestWriterErrors(t *testing.T) {
	for name, err := range map[string]error{"SVG": SVG(broken{}, bar(10)), "PNG": PNG(broken{}, bar(10))} {
		if err == nil || !strings.Contains(err.Error(), "no room") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Any scene is refused with a reason, or drawn within the page.
func TestAnyScene(t *testing.T) {
	odd := rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 1, -1, 1e-300, 5e-324, 1e9, -1e9, 1e300, math.NaN(), math.Inf(1), 15, 90, 180})
	or := func(ordinary *rapid.Generator[float64]) *rapid.Generator[float64] {
		return rapid.Custom(func(t *rapid.T) float64 {
			if rapid.IntRange(0, 19).Draw(t, "odd") == 7 { // seldom, or hardly a scene would be drawn
				return odd.Draw(t, "value")
			}
			return ordinary.Draw(t, "value")
		})
	}
	value, positive := or(rapid.Float64Range(-1000, 1000)), or(rapid.Float64Range(1e-6, 100))
	place := rapid.Custom(func(t *rapid.T) xyz {
		return xyz{value.Draw(t, "x"), value.Draw(t, "y"), value.Draw(t, "z")}
	})
	drawn := 0
	rapid.Check(t, func(t *rapid.T) {
		s := &Scene{Title: rapid.String().Draw(t, "title"), Warnings: rapid.SliceOfN(rapid.String(), 0, 3).Draw(t, "warnings")}
		for i := range rapid.IntRange(1, 5).Draw(t, "spheres") {
			b := Sphere{
				Name: fmt.Sprint("S", i), CenterMM: place.Draw(t, "centre"), RadiusMM: positive.Draw(t, "radius"), Axis: place.Draw(t, "axis"),
				SDUM: positive.Draw(t, "s"), FormUM: positive.Draw(t, "form"), CoveragePercent: rapid.Float64Range(0, 100).Draw(t, "coverage"), Verdict: rapid.String().Draw(t, "verdict"),
			}
			for range rapid.IntRange(0, 5).Draw(t, "points") {
				p := place.Draw(t, "point")
				b.PointsMM = append(b.PointsMM, p[:]...)
				b.ResidualUM = append(b.ResidualUM, value.Draw(t, "residual"))
				b.Rejected = append(b.Rejected, rapid.Bool().Draw(t, "rejected"))
			}
			s.Spheres = append(s.Spheres, b)
			if i > 0 {
				s.Distances = append(s.Distances, Distance{"S0", b.Name, positive.Draw(t, "distance"), positive.Draw(t, "u")})
			}
		}
		if s.check() != nil {
			return
		}
		if len(s.Spheres) > 1 {
			drawn++
		}
		inside(t, s.draw())
	})
	if drawn < 2 {
		t.Errorf("%d scenes of several spheres were drawn, expected more", drawn)
	}
}

// inside asks for numbers, and for marks that do not leave the page.
func inside(t rapid.TB, l *list) {
	t.Helper()
	at := func(m mark, x, y float64) {
		if !(x >= -0.01 && x <= l.width+0.01 && y >= -0.01 && y <= l.height+0.01) {
			t.Fatalf("%v, %v outside the page of %v by %v: %+v", x, y, l.width, l.height, m)
		}
	}
	if !(l.height > 100 && l.height < 10_000) {
		t.Fatalf("height %v", l.height)
	}
	for _, m := range l.marks {
		switch m := m.(type) {
		case boxes:
			for _, b := range m.at {
				at(m, b.x, b.y)
				at(m, b.x+b.width, b.y+b.height)
			}
		case strokes:
			for _, s := range m.at {
				at(m, s.x1, s.y1)
				at(m, s.x2, s.y2)
			}
		case circle:
			at(m, m.x-m.r, m.y-m.r)
			at(m, m.x+m.r, m.y+m.r)
		case label:
			at(m, m.x, m.y)
			for _, r := range m.text {
				if !unicode.IsPrint(r) {
					t.Fatalf("unprintable %U in %q", r, m.text)
				}
			}
		}
	}
}

func TestExtremesStayOnThePage(t *testing.T) {
	for _, s := range extremes(t) {
		inside(t, s.draw())
	}
}
