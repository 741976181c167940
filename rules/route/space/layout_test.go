package space_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/rules/route/space"
)

// By hand: volumes 500 wide with an overlap of 100 are at most 400 apart.
func TestLayoutByHand(t *testing.T) {
	l := space.Layout{Size: space.Point{500, 500, 500}, Overlap: 100}
	for _, c := range []struct {
		length float64
		want   []float64 // middles along x
	}{
		{0, []float64{0}},
		{300, []float64{150}},
		{500, []float64{250}},
		{501, []float64{250, 251}},
		{900, []float64{250, 650}},
		{1300, []float64{250, 650, 1050}},
		{1301, []float64{250, 517, 784, 1051}},
	} {
		cells, err := l.Over(space.Point{}, space.Point{c.length, 0, 0})
		if err != nil {
			t.Fatal(err)
		}
		var got []float64
		for _, cell := range cells {
			got = append(got, cell.At[0])
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%v mm: %s", c.length, diff)
		}
		lines := space.Neighbours(cells)
		if len(lines) != len(cells)-1 {
			t.Errorf("%v mm: joins %v", c.length, lines)
		}
	}
}

// Decimal figures that add up exactly on paper take no volume more: 0.9 is two of 0.5 that share 0.1.
func TestLayoutInDecimals(t *testing.T) {
	for _, c := range []struct {
		size, overlap, length float64
		want                  int
	}{{0.5, 0.1, 0.9, 2}, {0.3, 0.1, 0.5, 2}, {0.3, 0, 2.1, 7}, {0.3, 0.2, 0.7, 5}} {
		cells, err := space.Layout{Size: space.Point{c.size, c.size, c.size}, Overlap: c.overlap}.Over(space.Point{}, space.Point{c.length})
		if err != nil || len(cells) != c.want {
			t.Errorf("%v: %d volumes, %v", c, len(cells), err)
		}
	}
}

func drawLayout(r *rapid.T) (l space.Layout, least, most space.Point) {
	least = drawPoint(r, "least")
	side := rapid.Float64Range(3, 8)
	l.Size = space.Point{side.Draw(r, "x"), side.Draw(r, "y"), side.Draw(r, "z")}
	l.Overlap = rapid.SampledFrom([]float64{0, 1, 2.5}).Draw(r, "overlap")
	for i := range most {
		most[i] = least[i] + rapid.SampledFrom([]float64{0, 1, 4, 9.75, 20}).Draw(r, "extent")
	}
	return l, least, most
}

// Every place of the part lies in a volume, joined volumes share what they must, others do not, and with one volume fewer
// along an axis the part would not be covered.
func TestLayoutCovers(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l, least, most := drawLayout(r)
		cells, err := l.Over(least, most)
		if err != nil {
			r.Fatal(err)
		}
		count := [3]int{}
		for _, c := range cells {
			for i := range count {
				count[i] = max(count[i], c.Index[i]+1)
			}
		}
		if len(cells) != count[0]*count[1]*count[2] {
			r.Fatalf("%d cells, %v along the axes", len(cells), count)
		}
		for i, n := range count {
			if reach := float64(n-1)*(l.Size[i]-l.Overlap) + l.Overlap; n > 1 && reach >= most[i]-least[i] {
				r.Fatalf("%d volumes along axis %d, of which one fewer reach %v", n, i, reach)
			}
		}
		share := rapid.Float64Range(0, 1)
		p := least
		for i := range p {
			p[i] += share.Draw(r, "share") * (most[i] - least[i])
		}
		if !covered(l, cells, p) {
			r.Fatalf("%v lies in no volume", p)
		}
		joined := map[[2]int]bool{}
		for _, line := range space.Neighbours(cells) {
			joined[[2]int{line.A, line.B}] = true
			if line.Length != space.Distance(cells[line.A].At, cells[line.B].At) {
				r.Fatalf("length %v", line.Length)
			}
		}
		for a := range cells {
			for b := a + 1; b < len(cells); b++ {
				if shared := sharedSide(l, cells[a], cells[b]) - l.Overlap; joined[[2]int{a, b}] && shared < -1e-9 || !joined[[2]int{a, b}] && shared > 1e-9 {
					r.Fatalf("%v and %v: joined %v, share %v more than the overlap", cells[a], cells[b], joined[[2]int{a, b}], shared)
				}
			}
		}
	})
}

func covered(l space.Layout, cells []space.Cell, p space.Point) bool {
	for _, c := range cells {
		inside := true
		for i := range p {
			inside = inside && math.Abs(p[i]-c.At[i]) <= l.Size[i]/2+1e-9
		}
		if inside {
			return true
		}
	}
	return false
}

// sharedSide returns the least side of the box that two volumes share.
func sharedSide(l space.Layout, a, b space.Cell) float64 {
	least := math.Inf(1)
	for i := range a.At {
		least = min(least, l.Size[i]-math.Abs(a.At[i]-b.At[i]))
	}
	return least
}

// Over points: each lies in a volume, and no volume is without a point.
func TestLayoutOverPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		l, _, _ := drawLayout(r)
		points := make([]space.Point, rapid.IntRange(1, 40).Draw(r, "n"))
		for i := range points {
			points[i] = drawPoint(r, "point")
		}
		cells, err := l.OverPoints(points)
		if err != nil {
			r.Fatal(err)
		}
		for _, p := range points {
			if !covered(l, cells, p) {
				r.Fatalf("%v lies in no volume", p)
			}
		}
		for _, c := range cells {
			used := false
			for _, p := range points {
				used = used || covered(l, []space.Cell{c}, p)
			}
			if !used {
				r.Fatalf("no point in %v", c)
			}
		}
	})
}

func TestLayoutRefuses(t *testing.T) {
	nan := math.NaN()
	good := space.Layout{Size: space.Point{5, 5, 5}, Overlap: 1}
	for _, c := range []struct {
		layout      space.Layout
		least, most space.Point
		want        string
	}{
		{space.Layout{Size: space.Point{5, 0, 5}}, space.Point{}, space.Point{}, "a volume of 0 mm along y, expected more than 0 and up to 1e9"},
		{space.Layout{Size: space.Point{5, 5, 5}, Overlap: 5}, space.Point{}, space.Point{}, "an overlap of 5 mm of volumes 5 mm wide along x, expected 0 or more and less than the width"},
		{space.Layout{Size: space.Point{5, 5, 5}, Overlap: nan}, space.Point{}, space.Point{}, "an overlap of NaN mm of volumes 5 mm wide along x, expected 0 or more and less than the width"},
		{good, space.Point{1, 1, 1}, space.Point{2, 0, 2}, "a part from y = 1 to 0 mm, expected the lower corner first"},
		{good, space.Point{nan}, space.Point{}, "a place that is not three numbers of at most 1e9 mm in size, expected x, y and z"},
		{good, space.Point{}, space.Point{1e6, 1e6, 1}, "more than 1048576 volumes, expected larger volumes, less overlap or a smaller part"},
	} {
		if _, err := c.layout.Over(c.least, c.most); err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if _, err := good.OverPoints(nil); err == nil {
		t.Error("no points: no error")
	}
	if _, err := good.OverPoints([]space.Point{{}, {nan}}); err == nil || err.Error() != "point 2: a place that is not three numbers of at most 1e9 mm in size, expected x, y and z" {
		t.Errorf("%v", err)
	}
}

func ExampleLayout_Over() {
	l := space.Layout{Size: space.Point{500, 500, 400}, Overlap: 100}
	cells, err := l.Over(space.Point{0, 0, 0}, space.Point{1300, 900, 300})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(cells), "volumes, the first at", cells[0].At, "and the last at", cells[len(cells)-1].At)
	fmt.Println(len(space.Neighbours(cells)), "joins")
	// Output:
	// 6 volumes, the first at [250 250 150] and the last at [1050 650 150]
	// 11 joins
}
