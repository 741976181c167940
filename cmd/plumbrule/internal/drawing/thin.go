package drawing

import "plumbrule/rules/chart"

// mostDrawn is the number of points up to which an SVG draws every one.
const mostDrawn = 1500

// thin returns the indexes of the points to draw: all of a few, otherwise for
// each of steps equal stretches of the axis the lowest, the highest, the last
// and the first that signals, so that neither spread nor signals are lost.
func thin(points []chart.Point, a across, steps int) []int {
	if len(points) <= mostDrawn {
		all := make([]int, len(points))
		for i := range all {
			all[i] = i
		}
		return all
	}
	step := func(i int) int { return int(a.at(a.points[points[i].N-1]) * float64(steps)) }
	var out []int
	for from := 0; from < len(points); {
		low, high, signal, to := from, from, -1, from
		for ; to < len(points) && step(to) == step(from); to++ {
			if points[to].Value < points[low].Value {
				low = to
			}
			if points[to].Value > points[high].Value {
				high = to
			}
			if signal < 0 && signalling(points[to]) {
				signal = to
			}
		}
		for i := from; i < to; i++ {
			if i == low || i == high || i == signal || i == to-1 {
				out = append(out, i)
			}
		}
		from = to
	}
	return out
}
