package drawing

import (
	"math"
	"strings"

	"plumbrule/rules/chart"
)

// grid is the field of characters a chart is drawn on, top row first.
type grid struct {
	cells [][]byte
	width int
}

func newGrid(width int) grid {
	g := grid{width: width}
	for range plotRows {
		g.cells = append(g.cells, []byte(strings.Repeat(" ", width)))
	}
	return g
}

// column returns the column of a place between 0 and 1, one free at either side.
func (g grid) column(at float64) int {
	return 1 + int(math.Round(at*float64(g.width-3)))
}

// paint draws lines, then marks, then points, so that points are never hidden.
// It returns how many points share the place of another.
func (g grid) paint(p Picture, a across, s scale) (shared int) {
	// Where two lines share a row both stay visible: limits take the even
	// columns, MPE every second odd one.
	for _, segment := range p.Chart.Segments {
		l := segment.Limits
		if l == nil {
			continue
		}
		from, to := g.stretch(a, segment.First, segment.Last)
		for x := from; x <= to; x++ {
			if x%2 == 0 {
				g.cells[row(s.at(l.Lower))][x] = '-'
				g.cells[row(s.at(l.Upper))][x] = '-'
			}
		}
		for x := from; x <= to; x++ {
			g.cells[row(s.at(l.Centre))][x] = '-'
		}
	}
	if s.mpe {
		for x := 1; x < g.width; x += 4 {
			g.cells[row(s.at(*p.MPE))][x] = '='
			g.cells[row(s.at(-*p.MPE))][x] = '='
		}
	}
	for _, at := range a.marks {
		for y := range g.cells {
			g.cells[y][g.column(a.at(at))] = '|'
		}
	}
	for _, point := range p.Chart.Points {
		cell := &g.cells[row(s.at(point.Value))][g.column(a.at(a.points[point.N-1]))]
		taken := *cell == 'o' || *cell == 'X'
		if taken {
			shared++
		}
		switch {
		case signalling(point):
			*cell = 'X'
		case !taken:
			*cell = 'o'
		}
	}
	return shared
}

// stretch returns the columns of a segment; the outer ones reach the border.
func (g grid) stretch(a across, first, last int) (from, to int) {
	low, high := a.edges(first, last)
	from, to = g.column(a.at(low)), g.column(a.at(high))
	if first == 1 {
		from = 0
	}
	if last == len(a.points) {
		to = g.width - 1
	}
	return from, to
}

// axis returns the line under the field and the labels under its ticks.
func (g grid) axis(a across) (line, labels string) {
	axis := []byte(strings.Repeat("-", g.width))
	text := []byte(strings.Repeat(" ", g.width))
	free := 0
	for _, t := range a.ticks(max(1, g.width/12)) {
		x := g.column(a.at(t.at))
		axis[x] = '+'
		from := min(max(0, x-len(t.label)/2), g.width-len(t.label))
		if from < free || from < 0 {
			continue
		}
		copy(text[from:], t.label)
		free = from + len(t.label) + 2
	}
	return string(axis), string(text)
}

// baselines marks the points that limits rest on.
func (g grid) baselines(segments []chart.Segment, a across) string {
	text := []byte(strings.Repeat(" ", g.width))
	for _, s := range segments {
		if s.Baseline == 0 || s.Limits == nil {
			continue
		}
		from := g.column(a.at(a.points[s.First-1]))
		to := g.column(a.at(a.points[s.First+s.Baseline-2]))
		for x := from; x <= to; x++ {
			text[x] = '-'
		}
		if to-from > 12 {
			copy(text[(from+to)/2-4:], " baseline ")
		}
		text[from], text[to] = '[', ']'
	}
	return strings.TrimRight(string(text), " ")
}
