package montecarlo

import "math"

// moments describe a number of values: mean and sum of squared deviations from it, both of the values less a centre near
// them, and the extremes.
type moments struct {
	n             float64
	mean, squares float64
	least, most   float64
}

// momentsOf adds in four lanes, always the same ones.
func momentsOf(values []float64, centre float64) moments {
	m := moments{n: float64(len(values)), least: math.Inf(1), most: math.Inf(-1)}
	var sum [4]float64
	for i, v := range values {
		sum[i&3] += v - centre
		m.least, m.most = min(m.least, v), max(m.most, v)
	}
	m.mean = ((sum[0] + sum[1]) + (sum[2] + sum[3])) / m.n
	around := centre + m.mean
	var squares [4]float64
	for i, v := range values {
		d := v - around
		squares[i&3] += float64(d * d)
	}
	m.squares = (squares[0] + squares[1]) + (squares[2] + squares[3])
	return m
}

// with adds further values: Chan, Golub and LeVeque 1979.
func (m moments) with(o moments) moments {
	if m.n == 0 {
		return o
	}
	n, d := m.n+o.n, o.mean-m.mean
	return moments{
		n: n, mean: m.mean + float64(d*(o.n/n)), squares: m.squares + o.squares + float64(d*d*(m.n*(o.n/n))),
		least: math.Min(m.least, o.least), most: math.Max(m.most, o.most),
	}
}

func together(all []moments) (sum moments) {
	for _, m := range all {
		sum = sum.with(m)
	}
	return sum
}

// deviation is the standard deviation, with n − 1: JCGM 101:2008 7.6, formula (17).
func (m moments) deviation() float64 { return math.Sqrt(m.squares / (m.n - 1)) }

// outlying is the share that the value farthest out has in the sum of squares.
func (m moments) outlying(centre float64) float64 {
	if m.squares == 0 {
		return 0
	}
	around := centre + m.mean
	d := math.Max(m.most-around, around-m.least)
	return d / m.squares * d
}
