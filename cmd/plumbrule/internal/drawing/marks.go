package drawing

import (
	"cmp"
	"fmt"
	"slices"
)

// flags are the labels of marks above the upper panel, in rows; row 0 is the
// lowest.
type flags struct {
	texts []string
	rows  []int // -1: no room
	count int   // rows in use
	key   []string
}

const (
	mostRows   = 4
	longestTag = 36 // letters of a mark's text beside its line
)

// newFlags finds rows for the texts at the places xs. If they do not fit into a
// few rows the lines get numbers, and the texts a key.
func newFlags(p Picture, xs []float64, right float64) flags {
	f := flags{texts: make([]string, len(xs))}
	long := false
	for i, mark := range p.Marks {
		f.texts[i] = cut(plain(mark.Text), longestTag, "…")
		long = long || f.texts[i] != plain(mark.Text)
	}
	if fits := f.arrange(xs, right); fits && !long {
		return f
	}
	for i, mark := range p.Marks {
		f.key = append(f.key, fmt.Sprintf("%d: %s, %s", i+1, p.markWhen(mark), plain(mark.Text)))
		f.texts[i] = fmt.Sprint(i + 1)
	}
	f.arrange(xs, right)
	return f
}

// arrange gives each text the lowest row in which it meets no other. Texts
// stand to the right of their lines and are placed from the right, so that an
// earlier line, which starts higher, passes left of the texts below it.
func (f *flags) arrange(xs []float64, right float64) bool {
	f.rows = make([]int, len(xs))
	f.count = 0
	fits := true
	var taken [mostRows][]box
	order := byPlace(xs)
	for _, i := range slices.Backward(order) {

		f.rows[i] = -1
		want := f.box(i, xs[i], right)
		for row := range taken {
			free := true
			for _, other := range taken[row] {
				free = free && !want.meets(other)
			}
			if free {
				taken[row] = append(taken[row], want)
				f.rows[i] = row
				f.count = max(f.count, row+1)
				break
			}
		}
		fits = fits && f.rows[i] >= 0
	}
	return fits
}

// box is the horizontal extent of a text; at the right border it turns left.
func (f *flags) box(i int, x, right float64) box {
	width := extent(f.texts[i]) + 10
	if x+width > right {
		return box{x - width, 0, x, 1}
	}
	return box{x, 0, x + width, 1}
}

// byPlace returns the indexes of xs in the order of their values.
func byPlace(xs []float64) []int {
	order := make([]int, len(xs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(xs[i], xs[j]) })
	return order
}
