package growth

import (
	"gonum.org/v1/gonum/stat/distuv"

	"plumbrule/rules/figure"
)

// Parameter is an estimate with its standard error and the interval that holds the true value at the level asked for.
type Parameter struct {
	Estimate, SE, Lower, Upper Figure
}

func unknown(reason string) Parameter {
	f := figure.Absent(reason)
	return Parameter{Estimate: f, SE: f, Lower: f, Upper: f}
}

// normalQuantile returns z such that ±z standard deviations hold with the probability p.
func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile((1 + p) / 2) }

// studentQuantile is the same for Student's t with nu degrees of freedom.
func studentQuantile(p, nu float64) float64 {
	return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile((1 - p) / 2)
}
