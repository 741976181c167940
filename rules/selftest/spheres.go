package selftest

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"math"
	"strconv"
	"strings"

	"plumbrule/rules/published"
	"plumbrule/rules/sphere"
)

// cone is what the procedure of ASTM E3125 leaves of a scan, and its result.
type cone struct {
	points sphere.Points
	fit    sphere.Fit
}

// scanned applies the procedure to the scan SPH102, whose unit is the metre.
func scanned(b *bench) (cone, error) {
	return once(b, "SPH102", func() (cone, error) {
		var p sphere.Points
		packed, err := published.Data("SPH102.xyz.gz")
		if err != nil {
			return cone{}, err
		}
		text, err := gzip.NewReader(bytes.NewReader(packed))
		if err != nil {
			return cone{}, err
		}
		lines := bufio.NewScanner(text)
		for lines.Scan() {
			words := strings.FieldsFunc(lines.Text(), func(r rune) bool { return r == ' ' || r == ',' || r == '\t' })
			for _, word := range words[:min(3, len(words))] {
				v, err := strconv.ParseFloat(word, 64)
				if err != nil {
					return cone{}, err
				}
				p.XYZ = append(p.XYZ, v)
			}
		}
		if err := lines.Err(); err != nil {
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
