package drawing

import "plumbrule/rules/chart"

// piece is a stretch of points whose lines stand still. First and last number
// its points from 1.
type piece struct {
	first, last int
	segment     int
	lines       []level
}

// level is a line at one height.
type level struct {
	class string // "centre" or "limit"
	name  string
	at    float64
}

// levels names the lines of limits, in the order in which they are drawn.
func levels(kind chart.Kind, l *chart.Limits) []level {
	if l == nil {
		return nil
	}
	upper, lower, centre := "upper limit", "lower limit", "centre"
	switch kind {
	case chart.KindEWMA:
		centre = "target"
	case chart.KindCUSUM:
		upper, lower, centre = "decision value", "decision value", ""
	default:
	}
	return []level{{"limit", upper, l.Upper}, {"limit", lower, l.Lower}, {"centre", centre, l.Centre}}
}

// pieces are the stretches over which the limits of points stand still. The
// first of a segment reaches to its start.
func (p Picture) pieces(points []chart.Point) []piece {
	var out []piece
	for i, point := range points {
		var before *chart.Limits
		fresh := i == 0 || points[i-1].Segment != point.Segment
		if !fresh {
			before = points[i-1].Limits
		}
		switch {
		case point.Limits == nil:
		case before != nil && *before == *point.Limits:
			out[len(out)-1].last = point.N
		default:
			one := piece{first: point.N, last: point.N, segment: point.Segment, lines: levels(p.Chart.Kind, point.Limits)}
			if fresh {
				one.first = p.Chart.Segments[point.Segment].First
			}
			out = append(out, one)
		}
	}
	return out
}

// targets are the lines that the values of a CUSUM are compared with.
func (p Picture) targets() []piece {
	var out []piece
	for i, at := range p.Targets {
		s := p.Chart.Segments[i]
		out = append(out, piece{first: s.First, last: s.Last, segment: i, lines: []level{{"centre", "target", at}}})
	}
	return out
}

// stretch returns where a piece begins and ends on the horizontal axis, and
// whether it is the outermost at either side, which reaches the border.
func (a across) stretch(one piece) (from, to float64, left, right bool) {
	from, to = a.edges(one.first, one.last)
	return from, to, one.first == 1, one.last == len(a.points)
}
