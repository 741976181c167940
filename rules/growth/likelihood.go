package growth

import "math"

// sample holds the checks with paths in units of their mean, which keeps all sums of one size.
type sample struct {
	x, e []float64
	unit float64 // mean path, metres
}

func newSample(checks []Check) sample {
	s := sample{x: make([]float64, len(checks)), e: make([]float64, len(checks))}
	for _, c := range checks {
		s.unit += c.PathM / float64(len(checks))
	}
	for i, c := range checks {
		s.x[i], s.e[i] = c.PathM/s.unit, c.ErrorUM
	}
	return s
}

// spread is a standard deviation constant + slope·x; x in units of the mean path.
type spread struct {
	constant, slope float64
}

func (s spread) at(x float64) float64 { return s.constant + float64(s.slope*x) }

// line is the weighted least-squares line through the errors, about the weighted mean of x.
type line struct {
	centre, height, slope float64
	ofHeight, ofSlope     float64 // variances; the two are uncorrelated
}

func (l line) at(x float64) float64 { return l.height + float64(l.slope*(x-l.centre)) }

func (l line) variance(x float64) float64 {
	return l.ofHeight + l.ofSlope*(x-l.centre)*(x-l.centre)
}

// fit returns the line for a spread, with the sum of its squared weighted residuals.
func (s sample) fit(sd spread) (line, float64) {
	var l line
	weights, xs, es := 0.0, 0.0, 0.0
	for i, x := range s.x {
		w := 1 / (sd.at(x) * sd.at(x))
		weights += w
		xs += float64(w * x)
		es += float64(w * s.e[i])
	}
	l.centre, l.height = xs/weights, es/weights
	squares, products := 0.0, 0.0
	for i, x := range s.x {
		w := 1 / (sd.at(x) * sd.at(x))
		squares += w * (x - l.centre) * (x - l.centre)
		products += w * (x - l.centre) * (s.e[i] - l.height)
	}
	l.slope = products / squares
	l.ofHeight, l.ofSlope = 1/weights, 1/squares
	rest := 0.0
	for i, x := range s.x {
		r := (s.e[i] - l.at(x)) / sd.at(x)
		rest += float64(r * r)
	}
	return l, rest
}

// restricted returns the logarithm of the restricted likelihood of a spread, but for a constant.
func (s sample) restricted(sd spread) float64 {
	l, rest := s.fit(sd)
	logs := 0.0
	for _, x := range s.x {
		logs += math.Log(sd.at(x))
	}
	return -logs + math.Log(l.ofHeight*l.ofSlope)/2 - rest/2
}

// scaled returns the best spread of a shape, which is 1 − share + share·x times a size: the size is the root of the mean
// weighted square with n−2 degrees of freedom.
func (s sample) scaled(share float64) spread {
	shape := spread{1 - share, share}
	_, rest := s.fit(shape)
	size := math.Sqrt(rest / float64(len(s.x)-2))
	return spread{size * shape.constant, size * shape.slope}
}

// shapes is how many shares are tried before the best is refined; the likelihood may have two hills.
const shapes = 32

// best returns the spread of the greatest restricted likelihood among constant ≥ 0 and slope ≥ 0, and its logarithm. The
// errors must scatter about their line.
func (s sample) best() (spread, float64) {
	of := func(share float64) float64 { return s.restricted(s.scaled(share)) }
	top, at := math.Inf(-1), 0
	for i := range shapes + 1 {
		if value := of(float64(i) / shapes); value > top {
			top, at = value, i
		}
	}
	share := climb(of, float64(max(0, at-1))/shapes, float64(min(shapes, at+1))/shapes)
	// A climb stops short of an end; a spread that wants to be on the boundary shall be on it.
	for _, end := range []float64{0, 1} {
		if math.Abs(share-end) < 1e-6 && of(end) >= of(share)-1e-9 {
			share = end
		}
	}
	found := s.scaled(share)
	return found, s.restricted(found)
}
