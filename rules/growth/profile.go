package growth

// interval returns where the restricted likelihood of one part of the spread, at its best over the other part, has
// fallen from its top by z²/2: the profile interval, cut off at 0. at makes a spread of the fixed part and the free one;
// the free part is sought below twice its value alone, most, and size is any rough size of the fixed part.
//
// Source: Venzon and Moolgavkar (1988), Applied Statistics 37, 87–94; from memory.
func (s sample) interval(top, z, estimate, size, most float64, at func(fixed, free float64) spread) (lower, upper float64) {
	inside := func(fixed float64) bool {
		value := func(free float64) float64 { return s.restricted(at(fixed, free)) }
		free := climb(value, 0, 2*most)
		return value(free) >= top-z*z/2
	}
	// A spread of 0 altogether has no likelihood, but the free part is never 0 where it is tried.
	if estimate > 0 && !inside(0) {
		lower = edge(0, estimate, func(v float64) bool { return !inside(v) })
	}
	far := max(estimate, size/8)
	for range 60 {
		far *= 2
		if !inside(far) {
			break
		}
	}
	return lower, edge(estimate, far, inside)
}
