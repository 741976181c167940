package drawing

import (
	"math"
	"strings"

	"plumbrule/rules/chart"
)

// grid is the field of characters a panel is drawn on, top row first.
type grid struct {
	cells [][]byte
	width int
}

func newGrid(width, rows int) grid {
	g := grid{width: width}
	for range rows {
		g.cells = append(g.cells, []byte(strings.Repeat(" ", width)))
	}
	return g
}

// column returns the column of a place between 0 and 1, one free at either side.
func (g grid) column(at float64) int {
	return 1 + int(math.Round(at*float64(g.width-3)))
}

// row returns the row of a place between 0, the bottom, and 1.
func (g grid) row(at float64) int {
	last := len(g.cells) - 1
	return last - int(math.Round(at*float64(last)))
}

// paint draws lines, then marks, then points, so that points are never hidden.
// It returns how many signs share the place of another.
func (g grid) paint(f field, a across) (shared int) {
	g.lines(f, a)
	for _, at := range a.marks {
		for y := range g.cells {
			g.cells[y][g.column(a.at(at))] = '|'
		}
	}
	for _, t := range f.traces {
		for _, point := range t.points {
			cell := &g.cells[g.row(f.scale.at(t.at(point)))][g.column(a.at(a.points[point.N-1]))]
			taken := *cell == 'o' || *cell == 'X'
			switch {
			case t.faint:
				*cell = '.'
				continue
			case len(t.spoken(point)) > 0:
				*cell = 'X'
			case !taken:
				*cell = 'o'
			}
			if taken {
				shared++
			}
		}
	}
	for _, o := range f.onsets {
		if cell := &g.cells[g.row(f.scale.at(o.at))][g.column(a.at(a.points[o.index]))]; *cell != 'X' {
			*cell = '*'
		}
	}
	return shared
}

// lines draws limits, centre and MPE. Where two lines share a row both stay
// visible: limits take the even columns, MPE every second odd one.
func (g grid) lines(f field, a across) {
	for _, class := range []string{"limit", "centre"} {
		for _, one := range f.pieces {
			from, to := g.stretch(a, one)
			for _, line := range one.lines {
				y := g.row(f.scale.at(line.at))
				for x := from; x <= to && line.class == class; x++ {
					if class == "centre" || x%2 == 0 {
						g.cells[y][x] = '-'
					}
				}
			}
		}
	}
	if f.scale.mpe {
		for x := 1; x < g.width; x += 4 {
			g.cells[g.row(f.scale.at(*f.mpe))][x] = '='
			g.cells[g.row(f.scale.at(-*f.mpe))][x] = '='
		}
	}
}

// stretch returns the columns of a piece; the outer ones reach the border.
func (g grid) stretch(a across, one piece) (from, to int) {
	low, high, left, right := a.stretch(one)
	from, to = g.column(a.at(low)), g.column(a.at(high))
	if left {
		from = 0
	}
	if right {
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
