package propagation

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// effective returns ν_eff by Welch and Satterthwaite: u_c⁴/Σ(uᵢ⁴/νᵢ) over contributions that are independent of each other.
//
// Correlated inputs make one contribution together. Its degrees of freedom are known in two cases: all of them are taken as
// certain; or they are the means of n readings taken together and nothing else is correlated with them, so that their part
// of the result is, to first order, the mean of n values and has n − 1. In every other case ν_eff has no backing.
func (b *Budget) effective(parts []float64, r [][]float64, first float64) figure.Figure {
	if first == 0 {
		return figure.Known(math.Inf(1))
	}
	lack := 0.0
	for _, group := range groups(parts, r) {
		u := groupU(group, parts, r)
		nu, why := b.freedomOf(group)
		if why != "" && u > 0 {
			return figure.Absent(why)
		}
		ratio := u / first
		lack += float64(ratio*ratio*ratio*ratio) / nu
	}
	return figure.Known(1 / lack)
}

// groups collects the inputs that contribute and are correlated with each other, directly or through others.
func groups(parts []float64, r [][]float64) [][]int {
	var out [][]int
	seen := make([]bool, len(parts))
	for i, d := range parts {
		if seen[i] || d == 0 {
			continue
		}
		seen[i] = true
		group := []int{i}
		for k := 0; k < len(group); k++ {
			for j, e := range parts {
				if !seen[j] && e != 0 && r[group[k]][j] != 0 {
					seen[j] = true
					group = append(group, j)
				}
			}
		}
		out = append(out, group)
	}
	return out
}

func groupU(group []int, parts []float64, r [][]float64) float64 {
	own := make([]float64, len(parts))
	for _, i := range group {
		own[i] = parts[i]
	}
	return combine(own, r, nil)
}

func (b *Budget) freedomOf(group []int) (nu float64, why string) {
	first := &b.Inputs[group[0]]
	if len(group) == 1 {
		return first.DegreesOfFreedom, ""
	}
	certain, together := true, true
	for _, i := range group {
		certain = certain && math.IsInf(b.Inputs[i].DegreesOfFreedom, 1)
		together = together && first.Set != "" && b.Inputs[i].Set == first.Set
	}
	switch {
	case certain:
		return math.Inf(1), ""
	case together:
		return float64(len(first.Readings) - 1), ""
	}
	return 0, fmt.Sprintf("%s and %s are correlated and not all of their degrees of freedom are infinite; the formula of Welch and Satterthwaite holds for independent contributions (GUM G.4.1)",
		first.Name, b.Inputs[group[1]].Name)
}
