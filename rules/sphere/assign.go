package sphere

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// distanceTolerance is how far a distance between candidates may be from the nominal one: wider than the error of any device
// worth checking, narrower than the steps in which bars are made.
func distanceTolerance(mm, diameterMM float64) float64 {
	return float64(0.004*mm) + float64(0.02*diameterMM)
}

// clearlyWorse says when one way of naming is so much worse than another that the names are beyond doubt: the distances are
// missed by more than three times as much, and by more than a device's error may be.
func clearlyWorse(missMM, bestMM float64) bool { return missMM > 3*math.Max(bestMM, 0.3) }

// naming gives each sphere wanted a candidate.
type naming struct {
	of     []int   // index of the candidate, for each sphere wanted
	missMM float64 // root mean square by which the distances are missed
}

// set tells which candidates are used, whatever their names.
func (n *naming) set() string { return fmt.Sprint(slices.Sorted(slices.Values(n.of))) }

// assign finds out which candidate is which sphere wanted. The candidates come in the order of the scan; where the
// distances allow several ways with the same candidates, the first in that order is taken and said to be ambiguous.
func assign(found []candidate, w *Wanted) (of []int, ambiguous bool, err error) {
	var all []naming
	index := map[string]int{}
	for i, s := range w.Spheres {
		index[s.Name] = i
	}
	of = make([]int, len(w.Spheres))
	var place func(i int)
	place = func(i int) {
		if i == len(of) {
			all = append(all, naming{slices.Clone(of), w.miss(found, of, index)})
			return
		}
		for k := range found {
			if slices.Contains(of[:i], k) || !w.fits(found, of, index, i, k) {
				continue
			}
			of[i] = k
			place(i + 1)
		}
	}
	place(0)
	if len(all) == 0 {
		return nil, false, w.unfit(found)
	}
	slices.SortStableFunc(all, func(a, b naming) int {
		switch {
		case clearlyWorse(a.missMM, b.missMM):
			return 1
		case clearlyWorse(b.missMM, a.missMM):
			return -1
		}
		return 0
	})
	best := all[0].missMM
	all = slices.DeleteFunc(all, func(n naming) bool { return clearlyWorse(n.missMM, best) })
	for i := range all {
		if all[i].set() != all[0].set() {
			return nil, false, &Error{
				Reason: TooMany,
				Found:  fmt.Sprintf("%d balls of the size wanted, and more than one choice of them has the distances of the artifact: %s", len(found), places(found)),
				Mend:   "scan one artifact at a time, cut the other away, or state all distances",
			}
		}
	}
	return all[0].of, len(all) > 1, nil
}

// fits reports whether candidate k can be the i-th sphere wanted beside those already placed.
func (w *Wanted) fits(found []candidate, of []int, index map[string]int, i, k int) bool {
	s := w.Spheres[i]
	if math.Abs(2*found[k].fit.RadiusMM-s.DiameterMM) > sizeTolerance*s.DiameterMM {
		return false
	}
	for _, d := range w.Distances {
		a, b := index[d.From], index[d.To]
		if b == i {
			a, b = b, a
		}
		if a != i || b >= i {
			continue
		}
		mm := norm(minus(found[k].fit.CenterMM, found[of[b]].fit.CenterMM))
		if math.Abs(mm-d.MM) > distanceTolerance(d.MM, s.DiameterMM) {
			return false
		}
	}
	return true
}

// miss returns the root mean square by which a naming misses the distances.
func (w *Wanted) miss(found []candidate, of []int, index map[string]int) float64 {
	sum := 0.0
	for _, d := range w.Distances {
		mm := norm(minus(found[of[index[d.From]]].fit.CenterMM, found[of[index[d.To]]].fit.CenterMM))
		sum += float64((mm - d.MM) * (mm - d.MM))
	}
	if len(w.Distances) == 0 {
		return 0
	}
	return math.Sqrt(sum / float64(len(w.Distances)))
}

// unfit says why no candidates can be the artifact.
func (w *Wanted) unfit(found []candidate) error {
	if len(found) < len(w.Spheres) {
		return &Error{
			Reason: TooFew,
			Found:  fmt.Sprintf("%s of the size wanted, where the artifact has %d: %s", counted(len(found)), len(w.Spheres), places(found)),
			Mend:   "scan all spheres, each over at least half of its surface, or state how many there are",
		}
	}
	var seen []string
	for i := range found {
		for k := i + 1; k < len(found) && len(seen) < 6; k++ {
			seen = append(seen, fmt.Sprintf("%.3f mm", norm(minus(found[i].fit.CenterMM, found[k].fit.CenterMM))))
		}
	}
	var wanted []string
	for _, d := range w.Distances {
		wanted = append(wanted, fmt.Sprintf("%s-%s %g mm", d.From, d.To, d.MM))
	}
	return &Error{
		Reason: WrongArtifact,
		Found: fmt.Sprintf("the balls found do not have the distances of the artifact: between them %s, expected %s",
			strings.Join(seen, ", "), strings.Join(wanted, ", ")),
		Mend: "check that this is the artifact named, and that the whole of it was scanned",
	}
}

func counted(n int) string {
	if n == 1 {
		return "1 ball"
	}
	return fmt.Sprintf("%d balls", n)
}

// places lists where candidates are.
func places(found []candidate) string {
	var list []string
	for i, c := range found {
		if i == 8 {
			list = append(list, "…")
			break
		}
		f := &c.fit
		list = append(list, fmt.Sprintf("%.2f mm at (%.1f, %.1f, %.1f)", 2*f.RadiusMM, f.CenterMM[0], f.CenterMM[1], f.CenterMM[2]))
	}
	return strings.Join(list, ", ")
}
