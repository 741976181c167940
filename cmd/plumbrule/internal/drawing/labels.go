package drawing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"plumbrule/rules/chart"
)

// box is a rectangle taken up by a label or a point.
type box struct{ left, top, right, bottom float64 }

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

// words places the names of tests beside signalling points where there is
// room. The shape and the list in words remain for points without room.
type words struct {
	field  box
	taken  []box
	placed int
}

// mostWords bounds the labels of one panel; more would hide the points.
const mostWords = 30

func newWords(f panel) *words {
	return &words{field: box{f.left, f.top, f.right(), f.bottom()}}
}

func (w *words) avoid(x, y float64) {
	w.taken = append(w.taken, box{x - 5, y - 5, x + 5, y + 5})
}

// signals names the first of a point's tests, and how many more there are.
func (w *words) signals(c *canvas, x, y float64, signals []chart.Signal) {
	text := string(signals[0].Test)
	if len(signals) > 1 {
		text += fmt.Sprintf(" +%d", len(signals)-1)
	}
	w.beside(c, x, y, text)
}

// beside tries above, below, right and left of a point.
func (w *words) beside(c *canvas, x, y float64, text string) {
	if w.placed >= mostWords {
		return
	}
	width := 1.15*extent(text) + 4 // the letters are bold
	for _, try := range []struct {
		x, y   float64
		anchor string
		box    box
	}{
		{x, y - 11, "middle", box{x - width/2, y - 21, x + width/2, y - 8}},
		{x, y + 19, "middle", box{x - width/2, y + 9, x + width/2, y + 22}},
		{x + 10, y + 4, "start", box{x + 8, y - 7, x + 8 + width, y + 7}},
		{x - 10, y + 4, "end", box{x - 8 - width, y - 7, x - 8, y + 7}},
	} {
		in := try.box.left >= w.field.left && try.box.right <= w.field.right && try.box.top >= w.field.top && try.box.bottom <= w.field.bottom
		if in && !slices.ContainsFunc(w.taken, try.box.meets) {
			c.text(try.x, try.y, "word", try.anchor, text)
			w.taken = append(w.taken, try.box)
			w.placed++
			return
		}
	}
}

// sideLabel names a line at the right border.
type sideLabel struct {
	y    float64
	text string
}

// sideLabels names the lines of the current segment and the MPE.
func (f panel) sideLabels(unit string) []sideLabel {
	var out []sideLabel
	value := f.scale.fine()
	for _, line := range f.current {
		out = append(out, sideLabel{f.y(line.at), strings.TrimLeft(line.name+" "+joined(value(line.at), unit), " ")})
	}
	slices.Reverse(out) // of lines at one height the centre is named first
	if f.scale.mpe {
		out = append(out,
			sideLabel{f.y(*f.mpe), "MPE +" + joined(bound(*f.mpe), unit)},
			sideLabel{f.y(-*f.mpe), "MPE -" + joined(bound(*f.mpe), unit)})
	}
	spread(out, 13, f.top, f.bottom())
	return out
}

// spread moves labels apart until they are gap from each other: down first,
// then back up from the lower border, so none leaves the field.
func spread(labels []sideLabel, gap, top, bottom float64) {
	slices.SortStableFunc(labels, func(a, b sideLabel) int { return cmp.Compare(a.y, b.y) })
	for i := range labels {
		labels[i].y = max(labels[i].y, top)
		if i > 0 {
			labels[i].y = max(labels[i].y, labels[i-1].y+gap)
		}
	}
	for i := len(labels) - 1; i >= 0; i-- {
		labels[i].y = min(labels[i].y, bottom)
		if i < len(labels)-1 {
			labels[i].y = min(labels[i].y, labels[i+1].y-gap)
		}
	}
}
