package sphere

import (
	"fmt"
	"math"
	"strings"
)

// Outliers is the rule by which deviating points are left out of a fit. All rules start from the points within
// [GateFactor] robust standard deviations of the sphere: what lies farther away is not taken for its surface at all.
type Outliers string

const (
	// KeepAll leaves no point out.
	KeepAll Outliers = "none"
	// CutOnce fits once, leaves out the points that deviate by more than 3 s, and fits again.
	CutOnce Outliers = "3s"
	// CutRepeated does so until no point is left out any more; a point left out stays out.
	CutRepeated Outliers = "3s-repeated"
)

// OutlierRules lists the rules with what each does, as documentation shows them.
func OutlierRules() []struct {
	Name Outliers
	Text string
} {
	return []struct {
		Name Outliers
		Text string
	}{
		{KeepAll, "all points of the surface are fitted"},
		{CutOnce, "after a first fit, points that deviate by more than three times its standard deviation are left out, once"},
		{CutRepeated, "points that deviate by more than three standard deviations are left out until none is"},
	}
}

// ParseOutliers reads the name of a rule.
func ParseOutliers(text string) (Outliers, error) {
	var names []string
	for _, r := range OutlierRules() {
		if string(r.Name) == text {
			return r.Name, nil
		}
		names = append(names, string(r.Name))
	}
	return "", fmt.Errorf("%q is no rule for outliers, expected one of %s", text, strings.Join(names, ", "))
}

// cutFactor is the multiple of s beyond which a point is left out.
const cutFactor = 3

// shrinkage is by how much a cut at 3 s makes s smaller than σ when all deviations are Gaussian. Once, it is the standard
// deviation of a Gaussian cut at ±3σ: √(1 − 2·3·φ(3)/(2Φ(3) − 1)). Repeated, the cut moves in until it removes no more,
// to a = 3·s(a); see TestShrinkage.
func (o Outliers) shrinkage() float64 {
	switch o {
	case CutOnce:
		return 0.9865768
	case CutRepeated:
		return 0.9848475
	default:
		return 1
	}
}

// scatter is by how much more the mean of what a cut keeps varies than s/√n of the points kept, with σ for s: a cut sees
// chance in the tails as well. For one cut at c = 3 its influence function is (x·[|x| ≤ c] + 2cφ(c)·x)/(2Φ(c) − 1), for a cut
// repeated to c = 2.955 it is x·[|x| ≤ c]/(2Φ(c) − 1 − 2cφ(c)); the mean square of these, times the share kept, is this squared.
func (o Outliers) scatter() float64 {
	switch o {
	case CutOnce:
		return 1.0128
	case CutRepeated:
		return 1.0154
	default:
		return 1
	}
}

// Cut is a fit together with the points a rule left out of it.
type Cut struct {
	Fit
	Kept  []bool // for each point, whether it was fitted
	Count int    // of points left out

	// Shift is by how much leaving them out has moved centre and radius, mm.
	Shift [4]float64
}

// FitCut fits a sphere to points and leaves out outliers by a rule. floorMM is a deviation that is never an outlier's: the
// rounding of the numbers. The error is [ErrUndetermined].
func FitCut(p Points, rule Outliers, floorMM float64, o FitOptions) (Cut, error) {
	fit, err := FitPoints(p, o)
	if err != nil {
		return Cut{}, err
	}
	in := make([]bool, p.Len())
	for i := range in {
		in[i] = true
	}
	return cutFrom(p, in, fit, rule, floorMM, o)
}

// cutFrom applies a rule to a fit of the points that are in, and takes those it leaves out from in.
func cutFrom(p Points, in []bool, fit Fit, rule Outliers, floorMM float64, o FitOptions) (Cut, error) {
	c := Cut{Fit: fit, Kept: in}
	if rule == KeepAll {
		return c, nil
	}
	for {
		limit, before := math.Max(cutFactor*c.SDMM, floorMM), c.Count
		for i := range in {
			if in[i] && math.Abs(c.DeviationMM(p.at(i))) > limit {
				in[i] = false
				c.Count++
			}
		}
		if c.Count == before {
			return c, nil
		}
		next, err := fitFrom(p, in, c.CenterMM, c.RadiusMM, o)
		if err != nil {
			return Cut{}, err
		}
		c.Fit = next
		for i := range 3 {
			c.Shift[i] = c.CenterMM[i] - fit.CenterMM[i]
		}
		c.Shift[3] = c.RadiusMM - fit.RadiusMM
		if rule == CutOnce {
			return c, nil
		}
	}
}

// sigmaMM returns the standard deviation that the fit's uncertainty is formed with: s, widened by what the cut took off it
// and by how much a cut scatters. A cut that has left out nothing is none.
func (c *Cut) sigmaMM(rule Outliers) float64 {
	if c.Count == 0 {
		return c.SDMM
	}
	return c.SDMM / rule.shrinkage() * rule.scatter()
}

// strayPart is the part of a cut's shift that strays left inside it may still amount to. Strays that lie near a surface by
// chance are as dense inside the cut as between cut and gate. Within 3 s their mean distance is 1.5 s, from there to 6 s it
// is 4.5 s, so they pull a third as strongly as those left out did.
const strayPart = 1.0 / 3

// uncertainty returns the standard uncertainty of a linear combination of centre and radius: by the scatter and the cofactors,
// and by strays left inside the cut.
func (c *Cut) uncertainty(rule Outliers, weights [4]float64) float64 {
	variance, shift := 0.0, 0.0
	for i, a := range weights {
		for k, b := range weights {
			variance += float64(float64(a*c.Cofactors[i][k]) * b)
		}
		shift += float64(a * c.Shift[i])
	}
	return math.Hypot(c.sigmaMM(rule)*math.Sqrt(math.Max(0, variance)), strayPart*shift)
}
