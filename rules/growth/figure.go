package growth

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Figure is a number or, if Value is nil, the reason why there is none. The zero value is neither; [Estimate] returns
// none.
type Figure struct {
	Value  *float64
	Reason string
}

func known(value float64) Figure { return Figure{Value: &value} }

func absent(format string, args ...any) Figure { return Figure{Reason: fmt.Sprintf(format, args...)} }

// Parameter is an estimate with its standard error and the interval that holds the true value at the level asked for.
type Parameter struct {
	Estimate, SE, Lower, Upper Figure
}

func unknown(reason string) Parameter {
	f := absent("%s", reason)
	return Parameter{Estimate: f, SE: f, Lower: f, Upper: f}
}

// normalQuantile returns z such that ±z standard deviations hold with the probability p.
func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile((1 + p) / 2) }

// studentQuantile is the same for Student's t with nu degrees of freedom.
func studentQuantile(p, nu float64) float64 {
	return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile((1 - p) / 2)
}
