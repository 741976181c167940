package sphere

import (
	"math"
	"slices"
	"sort"
)

// leastInRun is the number of points below which a part of a scan is not looked at by itself.
const leastInRun = 100

// visitShare is the share of the largest run that a run must have to count as one: strays come at any time.
const visitShare = 0.2

// elsewhere is the share of another sphere's points that must lie between two points of a sphere, in the order of the scan,
// for the scanner to have been away in the meantime.
const elsewhere = 0.25

// runsOf cuts a sphere's surface points, given by their rising running numbers in the scan, where the scanner was away at
// another sphere. It returns the first index of each run.
func runsOf(order []uint32, others [][]uint32) []int {
	starts := []int{0}
	for i := 1; i < len(order); i++ {
		if order[i]-order[i-1] < 2 {
			continue
		}
		for _, o := range others {
			from, _ := slices.BinarySearch(o, order[i-1])
			to, _ := slices.BinarySearch(o, order[i])
			if len(o) >= leastInRun && float64(to-from) >= elsewhere*float64(len(o)) {
				starts = append(starts, i)
				break
			}
		}
	}
	return starts
}

// visits is what the runs of a sphere say.
type visits struct {
	use     int // so many points from the first are to be fitted
	closure *Closure
	spread  *Closure // the largest difference between runs that see different parts
}

// visitsOf compares the runs of a sphere. Where a later run shows the same part of the surface again, the sphere was
// scanned again at the end of a loop: then only what came before is used, and the difference is how the loop closes. Where
// runs show different parts, they are one scan from several places.
func visitsOf(p Points, fit Fit, gate float64, starts []int, o FitOptions) visits {
	out := visits{use: p.Len()}
	if len(starts) < 2 {
		return out
	}
	type run struct {
		from, to int
		fit      Fit
		seen     []int32
	}
	c := cellsOf(8, vector{0, 0, 1})
	var runs []run
	for i, from := range starts {
		to := p.Len()
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		part := Points{XYZ: p.XYZ[3*from : 3*to]}
		if p.Weight != nil {
			part.Weight = p.Weight[from:to]
		}
		in := make([]bool, part.Len())
		fit.within(part, gate, in, o.Workers)
		f, err := fitFrom(part, in, fit.CenterMM, fit.RadiusMM, FitOptions{RadiusMM: fit.RadiusMM, Workers: o.Workers})
		if err != nil || f.Points < leastInRun {
			continue
		}
		if f, _, err = settle(part, f, gate, 0, FitOptions{RadiusMM: fit.RadiusMM, Workers: o.Workers}); err != nil || f.Points < leastInRun {
			continue
		}
		runs = append(runs, run{from, to, f, c.seen(func(visit func(v vector)) {
			for k := range part.Len() {
				if math.Abs(f.DeviationMM(part.at(k))) <= gate {
					visit(minus(part.at(k), f.CenterMM))
				}
			}
		})})
	}
	most := 0
	for _, r := range runs {
		most = max(most, r.fit.Points)
	}
	runs = slices.DeleteFunc(runs, func(r run) bool { return float64(r.fit.Points) < visitShare*float64(most) })
	if len(runs) < 2 {
		return out
	}
	first := runs[0]
	for _, r := range runs[1:] {
		v := minus(r.fit.CenterMM, first.fit.CenterMM)
		c := &Closure{Vector: v, MM: norm(v), UMM: math.Hypot(alone(&first.fit).uncertainty(KeepAll, along(v)), alone(&r.fit).uncertainty(KeepAll, along(v)))}
		apart := 3 * fit.SDMM * math.Sqrt(fit.Cofactors[3][3]) // by an error of the radius held, where the parts see other sides
		if overlap(first.seen, r.seen) >= 0.5 {
			out.closure = c
			out.use = min(out.use, r.from)
			continue
		}
		c.UMM = math.Hypot(c.UMM, apart)
		if out.spread == nil || c.MM > out.spread.MM {
			out.spread = c
		}
	}
	return out
}

// overlap returns the share of the smaller of two parts of a sphere that lies in the other.
func overlap(a, b []int32) float64 {
	both, na, nb := 0, 0, 0
	for i := range a {
		if a[i] > 0 {
			na++
		}
		if b[i] > 0 {
			nb++
		}
		if a[i] > 0 && b[i] > 0 {
			both++
		}
	}
	if na == 0 || nb == 0 {
		return 0
	}
	return float64(both) / float64(min(na, nb))
}

// alone is a fit that nothing was left out of.
func alone(f *Fit) *Cut { return &Cut{Fit: *f} }

// along returns the weights of a centre's coordinates in its place along a direction.
func along(direction vector) [4]float64 {
	u := unit(direction)
	return [4]float64{u[0], u[1], u[2], 0}
}

// inOrder sorts candidates by when the scan came to them: where the first tenth of their points lies.
func inOrder(found []candidate, p Points) {
	for i := range found {
		c := &found[i]
		var at []int
		for k := range p.Len() {
			if math.Abs(c.fit.DeviationMM(p.at(k))) <= c.gateMM {
				at = append(at, k)
			}
		}
		if len(at) > 0 {
			c.when = at[len(at)/10]
		}
	}
	sort.SliceStable(found, func(i, k int) bool { return found[i].when < found[k].when })
}
