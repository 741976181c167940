package route

import (
	"math"

	"plumbrule/records/quantity"
)

// limit is the device's limit as the search needs it: a constant, a growth and an upper bound.
type limit struct {
	mpe                  quantity.MPE
	constant, perMM, cap float64 // µm, µm/mm, µm
}

func limitOf(m quantity.MPE) limit {
	l := limit{mpe: m, constant: m.Constant().Micrometres(), perMM: m.SlopePerMetre() / 1000, cap: math.Inf(1)}
	if bound, capped := m.Bound(); capped {
		l.cap = bound.Micrometres()
	}
	return l
}

// boundUM returns the bound over a path, with what frames on the way add. It is computed from the limit as written, in
// decimal, and so is what is printed; the search uses roughUM.
func (l limit) boundUM(pathMM, frameUM float64) float64 {
	um, err := l.mpe.At(quantity.Millimetres(pathMM))
	if err != nil { // a path below 0 or no limit, neither of which a checked task has
		return math.Inf(1)
	}
	return um + frameUM
}

// roughUM is the same for a path in which frames are counted as the length that costs as much.
func (l limit) roughUM(mm float64) float64 { return min(l.constant+float64(l.perMM*mm), l.cap) }

// asLengthMM returns the length that costs as much as a frame's bound. A frame with a bound needs a limit that grows, which
// is checked.
func (l limit) asLengthMM(boundUM float64) float64 {
	if boundUM == 0 {
		return 0
	}
	return boundUM / l.perMM
}
