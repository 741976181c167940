package drift

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"

	"plumbrule/rules/figure"
)

// Residual says whether neighbouring points lie on the same side of the line more often than chance would have it. Then
// they carry less news than their number suggests, and the bands are too narrow.
type Residual struct {
	// Lag1 is the autocorrelation of the residuals in the order of x, Σeᵢeᵢ₊₁/Σeᵢ²; independent points give about −1/N.
	// Absent without scatter.
	Lag1 Figure
	// DurbinWatson is Σ(eᵢ₊₁−eᵢ)²/Σeᵢ², 0 … 4, about 2 for independent points and less for points that follow each other.
	// Absent without scatter.
	DurbinWatson Figure
	// Chance is the probability of so small a DurbinWatson for independent points. Absent for fewer than 6 points, where
	// the published tables begin.
	Chance Figure
	// Correlated says that Chance is below 0.05.
	Correlated bool
	// Reservation says what Correlated means for the bands, in words; else empty.
	Reservation string
}

// The size of the Durbin–Watson test, and the number of points from which it is made: Savin and White (1977),
// Econometrica 45, 1989–1996, tabulate it from 6.
const (
	suspicious  = 0.05
	tabledPoint = 6
)

func noResidual(reason string) Residual {
	f := figure.Absentf("%s", reason)
	return Residual{Lag1: f, DurbinWatson: f, Chance: f}
}

// examine takes residuals and centred x in the order of x.
func examine(e, dx []float64, sxx float64) Residual {
	neighbours, differences := 0.0, 0.0
	for i := 1; i < len(e); i++ {
		step := e[i] - e[i-1]
		neighbours += float64(e[i] * e[i-1])
		differences += float64(step * step)
	}
	squares := dot(e, e)
	d := differences / squares
	r := Residual{Lag1: figure.Known(neighbours / squares), DurbinWatson: figure.Known(d)}
	if len(e) < tabledPoint {
		r.Chance = figure.Absentf("%d points are too few to tell dependence from chance; it takes %d", len(e), tabledPoint)
		return r
	}
	chance := durbinWatson(d, dx, sxx)
	r.Chance = figure.Known(chance)
	if chance < suspicious {
		r.Correlated = true
		r.Reservation = fmt.Sprintf("neighbouring points lie together (Durbin-Watson %.2f, lag-1 autocorrelation %.2f, chance %.2g): "+
			"the points are not independent about a straight line, and the bands are too narrow", d, *r.Lag1.Value, chance)
	}
	return r
}

// durbinWatson returns the probability of a statistic of at most d for independent normal points at the centred dx: the
// beta distribution on 0 … 4 with the statistic's exact mean and variance (Durbin and Watson 1951, Biometrika 38,
// 159–178, section 4, for the regression at hand instead of its bounds).
//
// With A the matrix of squared first differences, only the slope's direction q = dx/√sxx counts: A takes a constant to 0.
func durbinWatson(d float64, dx []float64, sxx float64) float64 {
	n := len(dx)
	qAq, qAAq := 0.0, 0.0
	for i := range dx {
		row := 0.0
		if i > 0 {
			row += dx[i] - dx[i-1]
		}
		if i < n-1 {
			row += dx[i] - dx[i+1]
		}
		qAq += float64(dx[i] * row)
		qAAq += float64(row * row)
	}
	qAq, qAAq = qAq/sxx, qAAq/sxx
	trace := float64(2*(n-1)) - qAq
	traceOfSquare := float64(6*n-8) - 2*qAAq + float64(qAq*qAq)
	mean := trace / float64(n-2)
	variance := 2 * (traceOfSquare - float64(trace*mean)) / float64((n-2)*n)
	both := mean*(4-mean)/variance - 1
	return distuv.Beta{Alpha: both * mean / 4, Beta: both * (4 - mean) / 4}.CDF(d / 4)
}
