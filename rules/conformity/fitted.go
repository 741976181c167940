package conformity

import (
	"fmt"
	"math"
	"strconv"
)

// Fitted is what is known of the points that a sphere was fitted through.
type Fitted struct {
	Name     string // of the sphere
	Points   int    // kept
	Cut      int
	Coverage float64 // share of the sphere's surface that was seen, 0 to 1; NaN: not recorded
}

// Share returns the share of its points that were cut, 0 to 1.
func (f Fitted) Share() float64 {
	if f.Cut == 0 {
		return 0
	}
	return float64(f.Cut) / float64(f.Points+f.Cut)
}

// Demands are what the points behind a value must show for it to be evidence.
// The zero value asks nothing.
type Demands struct {
	LeastPoints   int
	Selected      bool    // exactly LeastPoints points, chosen by region
	LeastCoverage float64 // share of the sphere's surface, 0 to 1
	CutLimited    bool    // MostCut holds; otherwise any share may be cut
	MostCut       float64 // share of the points, 0 to 1
	FreeRadius    bool    // the radius is fitted; the caller compares it, as it is one setting for all spheres
}

// Demands returns what the profile asks of the points of a sphere.
func (d *ProfileDoc) Demands() Demands {
	return Demands{
		LeastPoints: d.LeastPoints, Selected: d.Sampling == Selected25Points, CutLimited: d.MostCut > 0, MostCut: d.MostCut, FreeRadius: d.FreeRadius,
	}
}

// Asks reports whether anything is asked that the points have to show.
func (d Demands) Asks() bool { return d != Demands{} }

// Unmet says, with the figures, what a fit lacks of what is asked. Shares are
// compared unrounded; one equal to its bound keeps it.
func (d Demands) Unmet(f Fitted) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	switch {
	case d.Selected && f.Points != d.LeastPoints:
		add("%s was fitted through %d points, expected %d selected ones", f.Name, f.Points, d.LeastPoints)
	case f.Points < d.LeastPoints:
		add("%s kept %d points, expected at least %d", f.Name, f.Points, d.LeastPoints)
	}
	switch {
	case d.LeastCoverage > 0 && math.IsNaN(f.Coverage):
		add("how much of %s was seen is not recorded, expected at least %s", f.Name, percent(d.LeastCoverage))
	case f.Coverage < d.LeastCoverage:
		add("%s of the surface of %s was seen, expected at least %s", percent(f.Coverage), f.Name, percent(d.LeastCoverage))
	}
	if d.CutLimited && f.Share() > d.MostCut {
		add("%d of the %d points of %s were cut (%s), expected at most %s", f.Cut, f.Points+f.Cut, f.Name, percent(f.Share()), percent(d.MostCut))
	}
	return out
}

// Shares beyond which a fit is remarked on though nobody asked: 1 % cut, and a
// quarter of the sphere seen, a cap of 60° half angle (common practice, no
// source). From such a cap the centre is known along its axis to 6.9 σ/√n, four
// times as uncertain as from the whole sphere, and it gets worse steeply.
const (
	muchCut   = 0.01
	littleCap = 0.25
)

// Remarks says what of a fit should be known to whoever relies on it.
func (f Fitted) Remarks() []string {
	var out []string
	if f.Share() > muchCut {
		out = append(out, fmt.Sprintf("%d of the %d points of %s were cut (%s): more than %s is a finding in itself",
			f.Cut, f.Points+f.Cut, f.Name, percent(f.Share()), percent(muchCut)))
	}
	if f.Coverage < littleCap {
		out = append(out, fmt.Sprintf("only %s of the surface of %s was seen: under %s the centre is poorly known along the axis of the cap",
			percent(f.Coverage), f.Name, percent(littleCap)))
	}
	return out
}

// percent writes a share to three digits.
func percent(share float64) string {
	return strconv.FormatFloat(share*100, 'g', 3, 64) + " %"
}
