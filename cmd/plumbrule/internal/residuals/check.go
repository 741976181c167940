package residuals

import (
	"fmt"
	"math"
)

// What can be drawn: beyond these limits figures are slips of a unit, and their squares would leave the range of numbers.
const (
	farthestMM = 1e9  // a thousand kilometres
	largestUM  = 1e12 // the same
)

// check refuses scenes that contradict themselves, and figures that are none.
func (s *Scene) check() error {
	if len(s.Spheres) == 0 {
		return fmt.Errorf("a picture without spheres; expected at least one")
	}
	seen := map[string]bool{}
	for i := range s.Spheres {
		b := &s.Spheres[i]
		switch {
		case b.Name == "":
			return fmt.Errorf("sphere %d has no name; expected one, since distances refer to it", i+1)
		case seen[b.Name]:
			return fmt.Errorf("two spheres are named %q; expected names that tell them apart", b.Name)
		}
		seen[b.Name] = true
		if err := b.check(); err != nil {
			return fmt.Errorf("sphere %q: %w", b.Name, err)
		}
	}
	for _, d := range s.Distances {
		switch {
		case !seen[d.From] || !seen[d.To] || d.From == d.To:
			return fmt.Errorf("a distance from %q to %q; expected the names of two spheres of the picture", d.From, d.To)
		case !within(d.MM, 0, farthestMM):
			return fmt.Errorf("the distance from %q to %q is %v mm; expected 0 to %v mm", d.From, d.To, d.MM, farthestMM)
		case !within(d.UUM, 0, largestUM):
			return fmt.Errorf("the uncertainty of the distance from %q to %q is %v µm; expected 0 to %v µm, 0 where none is stated", d.From, d.To, d.UUM, largestUM)
		}
	}
	return nil
}

func (b *Sphere) check() error {
	n := len(b.ResidualUM)
	switch {
	case len(b.PointsMM) != 3*n:
		return fmt.Errorf("%d coordinates for %d residuals; expected three for each", len(b.PointsMM), n)
	case b.Rejected != nil && len(b.Rejected) != n:
		return fmt.Errorf("%d marks of rejection for %d residuals; expected one for each, or none at all", len(b.Rejected), n)
	}
	for _, f := range []struct {
		what            string
		value, from, to float64
	}{
		{"centre's x in mm", b.CenterMM[0], -farthestMM, farthestMM},
		{"centre's y in mm", b.CenterMM[1], -farthestMM, farthestMM},
		{"centre's z in mm", b.CenterMM[2], -farthestMM, farthestMM},
		{"radius in mm", b.RadiusMM, 0, farthestMM},
		{"standard deviation in µm", b.SDUM, 0, largestUM},
		{"form in µm", b.FormUM, 0, largestUM},
		{"coverage in percent", b.CoveragePercent, 0, 100},
		{"half-angle in degrees", b.HalfAngleDegrees, 0, 180},
	} {
		if !within(f.value, f.from, f.to) {
			return fmt.Errorf("the %s is %v; expected %v to %v", f.what, f.value, f.from, f.to)
		}
	}
	if b.RadiusMM == 0 {
		return fmt.Errorf("the radius is 0; expected one above it")
	}
	if _, ok := unit(b.Axis); !ok {
		return fmt.Errorf("the axis of its cap is %v; expected a direction", b.Axis)
	}
	for i, c := range b.PointsMM {
		if !within(c, -farthestMM, farthestMM) {
			return fmt.Errorf("a coordinate of point %d is %v mm; expected at most %v mm from the origin", i/3+1, c, farthestMM)
		}
	}
	for i, r := range b.ResidualUM {
		if !within(r, -largestUM, largestUM) {
			return fmt.Errorf("the residual of point %d is %v µm; expected at most %v µm", i+1, r, largestUM)
		}
	}
	return nil
}

// within is false for what is no number, too.
func within(v, from, to float64) bool { return v >= from && v <= to && !math.IsNaN(v) }
