package drawing

import "strings"

// crowd is the number of points above which their shapes are drawn smaller.
const crowd = 300

// plot draws the points of every trace, joined within a segment unless a gap in
// time lies between, and words beside those that signal. It returns how many
// points of the last trace were drawn.
func (f panel) plot(c *canvas, p Picture, gaps []int) int {
	words := newWords(f)
	chosen := make([][]int, len(f.traces))
	for i, t := range f.traces {
		chosen[i] = thin(t, f.across, int(f.width))
		if !t.faint {
			f.line(c, t, chosen[i], gaps)
		}
		for _, at := range chosen[i] {
			words.avoid(f.place(t, at))
		}
	}
	for _, signals := range []bool{false, true} { // signals on top
		for i, t := range f.traces {
			f.shapes(c, p, t, chosen[i], signals, words)
		}
	}
	for _, o := range f.onsets {
		x, y := f.x(f.across.points[o.index]), f.y(o.at)
		c.ring(x, y, o.words(p))
		words.beside(c, x, y, "likely onset")
	}
	return len(chosen[len(chosen)-1])
}

// line joins the points of a trace.
func (f panel) line(c *canvas, t trace, chosen, gaps []int) {
	var path strings.Builder
	gap := 0 // of gaps, the first that is not behind
	for n, i := range chosen {
		step := "L"
		if n == 0 || t.points[i].Segment != t.points[chosen[n-1]].Segment {
			step = "M"
		}
		for ; gap < len(gaps) && gaps[gap] < t.points[i].N; gap++ {
			step = "M"
		}
		x, y := f.place(t, i)
		path.WriteString(step + num(x) + " " + num(y))
	}
	c.raw(`<path class="trace" d="`, path.String(), `"/>`)
}

// shapes draws the points of a trace that signal, or those that do not.
func (f panel) shapes(c *canvas, p Picture, t trace, chosen []int, signals bool, words *words) {
	value := f.scale.fine()
	size := 1.0
	if len(chosen) > crowd {
		size = 0.6
	}
	for _, i := range chosen {
		point := t.points[i]
		spoken := t.spoken(point)
		if len(spoken) > 0 != signals {
			continue
		}
		x, y := f.place(t, i)
		switch {
		case signals:
			c.diamond(x, y, size, p.told(t, point, value))
			words.signals(c, x, y, spoken)
		case t.faint:
			c.faint(x, y, size)
		default:
			c.dot(x, y, size, p.told(t, point, value))
		}
	}
}

func (f panel) place(t trace, i int) (x, y float64) {
	return f.x(f.across.points[t.points[i].N-1]), f.y(t.at(t.points[i]))
}
