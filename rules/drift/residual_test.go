package drift_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"plumbrule/rules/drift"
)

// Savin and White (1977), Econometrica 45, 1989–1996: bounds d_L and d_U of the 5 % point for one regressor besides the
// intercept (from memory). The point for any regressor lies between them, and for a trend near the upper one. Values
// with a statistic a little below or above it are found by mixing a slow wave with an alternation.
func TestDurbinWatsonBounds(t *testing.T) {
	for _, c := range []struct {
		n            int
		lower, upper float64
	}{{6, 0.610, 1.400}, {15, 1.077, 1.361}, {20, 1.201, 1.411}, {30, 1.352, 1.489}, {50, 1.503, 1.585}, {100, 1.654, 1.694}} {
		low, high := 0.0, 100.0 // share of the alternation
		var l drift.Line
		for range 60 {
			share := (low + high) / 2
			x, y := make([]float64, c.n), make([]float64, c.n)
			for i := range c.n {
				x[i] = float64(i)
				d := x[i] - float64(c.n-1)/2
				y[i] = d * d / float64(c.n*c.n)
				if i%2 == 0 {
					y[i] += share / float64(c.n)
				}
			}
			l = fit(t, x, y)
			if value(t, "chance", l.Residual.Chance) < 0.05 {
				low = share
			} else {
				high = share
			}
		}
		point := value(t, "d", l.Residual.DurbinWatson)
		if point < c.lower-0.0005 || point > c.upper+0.005 || point < (c.lower+c.upper)/2 {
			t.Errorf("n = %d: 5 %% point %.4f, want %.3f to %.3f and near the upper", c.n, point, c.lower, c.upper)
		}
	}
}

// For independent points the flag goes up in 5 of 100 cases; binomial standard deviation 0.2 of 100 for 10 000 cases.
func TestDurbinWatsonFalseAlarms(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const cases = 10000
	for _, x := range [][]float64{
		{0, 1, 4, 9, 16, 25, 36, 49, 64, 81, 100, 121},
		{0, 0, 0, 0, 0, 0, 9, 9}, // a jump, where second differences count
	} {
		flagged := 0
		y := make([]float64, len(x))
		for range cases {
			for i := range y {
				y[i] = random.NormFloat64()
			}
			if fit(t, x, y).Residual.Correlated {
				flagged++
			}
		}
		near(t, "share flagged", float64(flagged)/cases, 0.05, 0.0065)
	}
}

func TestResidualsInAWave(t *testing.T) {
	l := fit(t, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, []float64{1, 2, 2, 1, -1, -2, -2, -1, 1, 2})
	if !l.Residual.Correlated || !strings.HasPrefix(l.Residual.Reservation, "neighbouring points lie together (Durbin-Watson 0.") {
		t.Errorf("%+v", l.Residual)
	}
	days, errors := steady()
	s := fit(t, days, errors).Residual
	// Residuals 11, 22, −51, 16, −1, −18, 21 of 28, by hand from the line (45 + 0.5·day)/28: the sums of products, of squared
	// steps and of squares are −2072, 12038 and 4228.
	near(t, "lag 1", value(t, "lag 1", s.Lag1), -2072.0/4228, 1e-12)
	near(t, "Durbin-Watson", value(t, "d", s.DurbinWatson), 12038.0/4228, 1e-12)
	if s.Correlated || s.Reservation != "" {
		t.Errorf("%+v", s)
	}
	short := fit(t, []float64{0, 1, 2, 3, 4}, []float64{0, 1, 0, 1, 0}).Residual
	lacks(t, "chance of 5 points", short.Chance)
}
