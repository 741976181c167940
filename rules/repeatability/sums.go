package repeatability

import "math"

// square is a sum of squares with its degrees of freedom.
type square struct {
	source Source
	sum    float64
	df     int
}

func (s square) mean() float64 { return s.sum / float64(s.df) }

// pooled adds another sum of squares to this one.
func (s square) pooled(t square) square { return square{s.source, s.sum + t.sum, s.df + t.df} }

// squares holds the sums of squares of a balanced crossed study.
type squares struct {
	parts, operators, trials                          int
	mean                                              float64
	part, operator, interaction, repeatability, total square
}

// measure computes every sum from deviations, none as a difference of others. The first reading is taken off first, so that
// a large common offset costs no digits.
func (g grid) measure() squares {
	p, o, r := len(g.parts), len(g.operators), len(g.values[0][0])
	s := squares{parts: p, operators: o, trials: r}
	origin, biggest := g.values[0][0][0], 0.0
	cell := make([][]float64, p) // mean of each cell less the origin
	part, operator := make([]float64, p), make([]float64, o)
	grand := 0.0
	for i, row := range g.values {
		cell[i] = make([]float64, o)
		for j, readings := range row {
			for _, v := range readings {
				cell[i][j] += (v - origin) / float64(r)
				biggest = max(biggest, math.Abs(v))
			}
			part[i] += cell[i][j] / float64(o)
			operator[j] += cell[i][j] / float64(p)
		}
		grand += part[i] / float64(p)
	}
	s.mean = origin + grand
	for i, row := range g.values {
		s.part.add(part[i]-grand, o*r)
		for j, readings := range row {
			s.interaction.add(cell[i][j]-part[i]-operator[j]+grand, r)
			for _, v := range readings {
				s.repeatability.add(v-origin-cell[i][j], 1)
				s.total.add(v-origin-grand, 1)
			}
		}
	}
	for _, m := range operator {
		s.operator.add(m-grand, p*r)
	}
	s.part.source, s.operator.source, s.interaction.source = Part, Operator, Interaction
	s.repeatability.source, s.total.source = Repeatability, Total
	s.part.df, s.operator.df, s.interaction.df = p-1, o-1, (p-1)*(o-1)
	s.repeatability.df, s.total.df = p*o*(r-1), p*o*r-1
	// A decimal number is stored with half a unit in the last place of error, and so are the means: a sum of squares below
	// that of 8 such units per reading is the noise of the arithmetic, and means 0.
	unit := 8 * 0x1p-52 * biggest
	floor := float64(p*o*r) * unit * unit
	for _, q := range []*square{&s.part, &s.operator, &s.interaction, &s.repeatability, &s.total} {
		if q.sum <= floor {
			q.sum = 0
		}
	}
	return s
}

func (s *square) add(deviation float64, times int) {
	s.sum += float64(float64(times) * float64(deviation*deviation))
}
