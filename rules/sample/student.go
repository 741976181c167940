package sample

import "gonum.org/v1/gonum/stat/distuv"

// manyDegrees is where the quantile of Student's t is taken from its expansion about the normal law: the numerical
// inverse of the incomplete beta function loses digits as the degrees of freedom grow, and in the far tail that the
// outlier tests use it returns nonsense (14 times too much at 1e5 degrees of freedom and 1e-8).
const manyDegrees = 1000

// upperT returns the value exceeded with the probability tail, above 0 and below 0.5, by Student's t with nu degrees of
// freedom, 1 or more; relative error under 1e-9. The expansion is Abramowitz and Stegun, 26.7.5.
func upperT(tail, nu float64) float64 {
	if nu <= manyDegrees {
		return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(tail)
	}
	z := -distuv.UnitNormal.Quantile(tail)
	z2 := z * z
	g1 := (z2 + 1) / 4
	g2 := (float64((float64(5*z2)+16)*z2) + 3) / 96
	g3 := (float64((float64((float64(3*z2)+19)*z2)+17)*z2) - 15) / 384
	g4 := (float64((float64((float64((float64(79*z2)+776)*z2)+1482)*z2)-1920)*z2) - 945) / 92160
	return z * (1 + (g1+(g2+(g3+g4/nu)/nu)/nu)/nu)
}
