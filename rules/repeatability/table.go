package repeatability

import (
	"gonum.org/v1/gonum/mathext"

	"plumbrule/rules/figure"
)

// row makes a line of the table; the mean square is tested against another one, or against none.
func row(s square, against *square) Row {
	r := Row{
		Source: s.source, SumOfSquares: s.sum, DegreesOfFreedom: s.df, MeanSquare: figure.Known(s.mean()),
		F: figure.Absent("nothing to test it against"), P: figure.Absent("nothing to test it against"),
	}
	if against == nil {
		return r
	}
	if against.sum == 0 {
		why := "the mean square it is tested against is 0"
		r.F, r.P = figure.Absent(why), figure.Absent(why)
		return r
	}
	f := s.mean() / against.mean()
	n, m := float64(s.df), float64(against.df)
	r.F = figure.Known(f)
	// The upper tail of F as an incomplete beta function, which keeps the digits of a small probability.
	r.P = figure.Known(mathext.RegIncBeta(m/2, n/2, m/(m+float64(n*f))))
	return r
}

func totalRow(s square) Row {
	why := "the total is the sum of the other rows"
	return Row{
		Source: Total, SumOfSquares: s.sum, DegreesOfFreedom: s.df,
		MeanSquare: figure.Absent(why), F: figure.Absent(why), P: figure.Absent(why),
	}
}
