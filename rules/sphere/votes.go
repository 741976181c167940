package sphere

import "slices"

// vote is where a patch would have its sphere's centre, on one of its sides.
type vote struct {
	place     vector
	direction vector // from the centre to the patch
}

// leastVotes is the number of patches a centre needs. With cubes of a third of the radius a hemisphere has some 56, a cap
// of 45° half-angle 16.
const leastVotes = 8

// centresOf returns places on which patches agree as the centre of a sphere of radius r, most votes first.
//
// Every patch votes at ±r along its normal. The patches of a sphere vote for one point, those of a cylinder of the same
// radius along a line, and those of a plane all over another plane; so beside their number the directions must differ in
// all three dimensions.
func centresOf(patches []patch, r float64) []vector {
	g := newGrid(r/4, 2*len(patches))
	votes := make([]vote, 0, 2*len(patches))
	var cells [][]int32
	for _, p := range patches {
		for _, side := range []float64{-r, r} {
			v := vote{plus(p.middle, side, p.normal), plus(vector{}, -side/r, p.normal)}
			at, ok := g.placeOf(v.place[0], v.place[1], v.place[2])
			if !ok {
				continue
			}
			k := g.number(at)
			if k == len(cells) {
				cells = append(cells, nil)
			}
			cells[k] = append(cells[k], int32(len(votes)))
			votes = append(votes, v)
		}
	}
	near := func(at place, visit func(k int)) {
		for dx := int32(-1); dx <= 1; dx++ {
			for dy := int32(-1); dy <= 1; dy++ {
				for dz := int32(-1); dz <= 1; dz++ {
					if k := g.find(place{at[0] + dx, at[1] + dy, at[2] + dz}); k >= 0 {
						visit(k)
					}
				}
			}
		}
	}
	sums := make([]int, len(cells))
	for k := range cells {
		near(g.places[k], func(o int) { sums[k] += len(cells[o]) })
	}
	type peak struct {
		place vector
		votes int
	}
	var peaks []peak
	for k := range cells {
		if sums[k] < leastVotes {
			continue
		}
		top := true
		near(g.places[k], func(o int) {
			if sums[o] > sums[k] || sums[o] == sums[k] && o < k {
				top = false
			}
		})
		if !top {
			continue
		}
		var members []int32
		near(g.places[k], func(o int) { members = append(members, cells[o]...) })
		slices.Sort(members)
		middle, count := gathered(votes, members, r)
		if count >= leastVotes {
			peaks = append(peaks, peak{middle, count})
		}
	}
	slices.SortStableFunc(peaks, func(a, b peak) int { return b.votes - a.votes })
	var out []vector
	for _, p := range peaks {
		if len(out) == mostCandidates {
			break
		}
		if !slices.ContainsFunc(out, func(o vector) bool { return norm(minus(o, p.place)) < r/3 }) {
			out = append(out, p.place)
		}
	}
	return out
}

// mostCandidates bounds the work of looking closer.
const mostCandidates = 200

// gathered returns the middle of the votes that agree, and how many do: none, if their directions leave out a dimension.
func gathered(votes []vote, members []int32, r float64) (middle vector, count int) {
	for _, m := range members {
		middle = plus(middle, 1/float64(len(members)), votes[m].place)
	}
	for range 3 {
		var sum vector
		n := 0
		for _, m := range members {
			if norm(minus(votes[m].place, middle)) < r/4 {
				sum = plus(sum, 1, votes[m].place)
				n++
			}
		}
		if n < leastVotes {
			return middle, 0
		}
		middle = vector{sum[0] / float64(n), sum[1] / float64(n), sum[2] / float64(n)}
	}
	var scatter [3][3]float64
	for _, m := range members {
		if norm(minus(votes[m].place, middle)) >= r/4 {
			continue
		}
		count++
		for i := range 3 {
			for k := range 3 {
				scatter[i][k] += float64(votes[m].direction[i] * votes[m].direction[k])
			}
		}
	}
	values, _ := eigen(scatter)
	if values[0] < 0.012*float64(count) {
		return middle, 0
	}
	return middle, count
}
