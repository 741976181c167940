package selftest

import (
	"bytes"
	"context"
	"math"
	"strings"

	"plumbrule/records/scan"
	"plumbrule/rules/published"
	"plumbrule/rules/sphere"
)

// cone is what the procedure of ASTM E3125 leaves of a scan, and its result.
type cone struct {
	points sphere.Points
	fit    sphere.Fit
}

// scanPoints reads the scan SPH102 as a user's scan is read.
func scanPoints() (p sphere.Points, err error) {
	const name = "SPH102.xyz.gz"
	packed, err := published.Data(name)
	if err != nil {
		return p, err
	}
	cloud, err := scan.Open(bytes.NewReader(packed), int64(len(packed)), scan.Options{Name: name})
	if err != nil {
		return p, err
	}
	_, err = cloud.Read(context.Background(), scan.Reading{Workers: 1}, func(b *scan.Block) error {
		p.XYZ = append(p.XYZ, b.XYZ...)
		return nil
	})
	return p, err
}

func scanCount(_ *bench, _ string) (float64, error) {
	p, err := scanPoints()
	return float64(p.Len()), err
}

// scanned applies the procedure to the scan SPH102, whose unit is the metre.
func scanned(b *bench) (cone, error) {
	return once(b, "SPH102", func() (cone, error) {
		p, err := scanPoints()
		if err != nil {
			return cone{}, err
		}
		var c cone
		c.points, c.fit, err = CentreByE3125(p, 0.05)
		return c, err
	})
}

func sphereByE3125(b *bench, input string) (float64, error) {
	c, err := scanned(b)
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{
		"x": c.fit.CenterMM[0], "y": c.fit.CenterMM[1], "z": c.fit.CenterMM[2], "points kept": float64(c.fit.Points),
	})
}

func freeSphere(b *bench, input string) (float64, error) {
	c, err := scanned(b)
	if err != nil {
		return 0, err
	}
	name, rule, _ := strings.Cut(input, ", ")
	outliers := sphere.KeepAll
	if rule == "repeated cut" {
		outliers = sphere.CutRepeated
	}
	f, err := sphere.FitCut(c.points, outliers, 0, sphere.FitOptions{})
	if err != nil {
		return 0, err
	}
	return pick(name, map[string]float64{"radius": f.RadiusMM, "s": f.SDMM})
}

// knownSphere has the corners of a cube on a sphere of radius 15 mm, moved by 0.1 mm outward and inward in turn: the sphere
// stays where it was, and s = √(8·0.1²/(8 − 4)).
func knownSphere(_ *bench, input string) (float64, error) {
	var p sphere.Points
	for corner := range 8 {
		sign := [3]float64{1, 1, 1}
		out := 1.0
		for axis := range 3 {
			if corner>>axis&1 == 1 {
				sign[axis], out = -1, -out
			}
		}
		along := (15 + 0.1*out) / math.Sqrt(3)
		for axis, centre := range [3]float64{12.5, -40.25, 300} {
			p.XYZ = append(p.XYZ, centre+float64(sign[axis]*along))
		}
	}
	f, err := sphere.FitPoints(p, sphere.FitOptions{})
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{"x": f.CenterMM[0], "y": f.CenterMM[1], "z": f.CenterMM[2], "radius": f.RadiusMM, "s": f.SDMM})
}
