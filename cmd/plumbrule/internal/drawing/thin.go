package drawing

// mostDrawn is the number of points up to which an SVG draws every one.
const mostDrawn = 1500

// thin returns the indexes of the points to draw: all of a few, otherwise for
// each of steps equal stretches of the axis the lowest, the highest, the last
// and the first that signals, so that neither spread nor signals are lost.
func thin(t trace, a across, steps int) []int {
	points := t.points
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
			if t.at(points[to]) < t.at(points[low]) {
				low = to
			}
			if t.at(points[to]) > t.at(points[high]) {
				high = to
			}
			if signal < 0 && len(t.spoken(points[to])) > 0 {
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
