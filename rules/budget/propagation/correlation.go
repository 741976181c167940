package propagation

import (
	"fmt"
	"math"
)

// Matrix returns the correlation coefficients of the inputs, from their readings taken together and as stated, and its lower
// Cholesky factor, row by row. Inputs without uncertainty are correlated with nothing.
//
// The error is an [*InputError] for a coefficient or readings that cannot be used, or a [*MatrixError].
//
// Source: GUM 5.2.2, 5.2.3 and formula (17).
func (b *Budget) Matrix() (r, factor [][]float64, err error) {
	n := len(b.Inputs)
	r = make([][]float64, n)
	for i := range r {
		r[i] = make([]float64, n)
		r[i][i] = 1
	}
	for i := range b.Inputs {
		for j := range i {
			if b.Inputs[i].Set == "" || b.Inputs[i].Set != b.Inputs[j].Set {
				continue
			}
			if r[i][j], err = b.together(i, j); err != nil {
				return nil, nil, err
			}
			r[j][i] = r[i][j]
		}
	}
	for _, c := range b.Correlations {
		if err := b.checkCorrelation(c, r); err != nil {
			return nil, nil, err
		}
		if b.Inputs[c.A].U > 0 && b.Inputs[c.B].U > 0 {
			r[c.A][c.B], r[c.B][c.A] = c.Coefficient, c.Coefficient
		}
	}
	factor, err = b.cholesky(r)
	return r, factor, err
}

func (b *Budget) pair(i, j int) string { return b.Inputs[i].Name + ", " + b.Inputs[j].Name }

func (b *Budget) checkCorrelation(c Correlation, r [][]float64) error {
	if c.A < 0 || c.B < 0 || c.A >= len(b.Inputs) || c.B >= len(b.Inputs) {
		return &InputError{Field: "correlation", Found: fmt.Sprintf("between inputs %d and %d", c.A, c.B), Expected: fmt.Sprintf("inputs from 0 to %d", len(b.Inputs)-1), Mend: "count the inputs from 0"}
	}
	field := "correlation between " + b.pair(c.A, c.B)
	switch {
	case c.A == c.B:
		return &InputError{Field: field, Found: "of an input with itself", Expected: "two different inputs", Mend: "leave it out"}
	case !(c.Coefficient >= -1 && c.Coefficient <= 1):
		return &InputError{Field: field, Found: number(c.Coefficient), Expected: "a coefficient from -1 to 1", Mend: "divide a covariance by both standard uncertainties"}
	case b.Inputs[c.A].Set != "" && b.Inputs[c.A].Set == b.Inputs[c.B].Set:
		return &InputError{Field: field, Found: "stated for readings taken together", Expected: "the one or the other", Mend: "leave it out: the readings tell it"}
	case r[c.A][c.B] != 0:
		return &InputError{Field: field, Found: "stated twice", Expected: "once", Mend: "leave one out"}
	}
	return nil
}

// together returns the correlation coefficient of the means of two inputs read together; 0 if one of them did not vary.
func (b *Budget) together(i, j int) (float64, error) {
	x, y := b.Inputs[i].Readings, b.Inputs[j].Readings
	if len(x) != len(y) {
		return 0, &InputError{
			Field: "set " + b.Inputs[i].Set, Found: fmt.Sprintf("%d readings of %s and %d of %s", len(x), b.Inputs[i].Name, len(y), b.Inputs[j].Name),
			Expected: "as many of each", Mend: "give the readings that were taken together, in the same order",
		}
	}
	mx, my := mean(x), mean(y)
	var xx, yy, xy float64
	for k := range x {
		xx += float64((x[k] - mx) * (x[k] - mx))
		yy += float64((y[k] - my) * (y[k] - my))
		xy += float64((x[k] - mx) * (y[k] - my))
	}
	if xx == 0 || yy == 0 {
		return 0, nil
	}
	return math.Max(-1, math.Min(1, xy/(math.Sqrt(xx)*math.Sqrt(yy)))), nil
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v - x[0] // of the small differences, so that no digit of a long number is lost
	}
	return x[0] + sum/float64(len(x))
}

// MatrixError says that correlation coefficients contradict each other: there are no quantities correlated so.
type MatrixError struct {
	Input int // the first input that does not go together with those before it
	Name  string
}

// Error names the input.
func (e *MatrixError) Error() string {
	return fmt.Sprintf("the correlation coefficients contradict each other at %s: their matrix is not positive semidefinite", e.Name)
}

// rounded is how far below 0 rounding may take what is 0 in a matrix of coefficients that come from readings.
const rounded = 1e-9

// cholesky factors the matrix. Fully correlated inputs are allowed: their rows end in zeros.
func (b *Budget) cholesky(r [][]float64) ([][]float64, error) {
	n := len(r)
	l := make([][]float64, n)
	for i := range l {
		l[i] = make([]float64, n)
		for j := range i + 1 {
			left := r[i][j]
			for k := range j {
				left -= float64(l[i][k] * l[j][k])
			}
			switch {
			case i == j && left < -rounded, i != j && l[j][j] == 0 && math.Abs(left) > math.Sqrt(rounded):
				return nil, &MatrixError{Input: i, Name: b.Inputs[i].Name}
			case i == j && left > rounded:
				l[i][i] = math.Sqrt(left)
			case i != j && l[j][j] != 0:
				l[i][j] = left / l[j][j]
			}
		}
	}
	return l, nil
}
