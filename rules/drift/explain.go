package drift

import (
	"fmt"
	"strings"
)

// explain finds the cause of a slope that drifts.
func explain(s Slope, all []Slope) Finding {
	f := Finding{Quantity: s.Quantity}
	var votes []Cause
	vote := func(cause Cause, sentence string, rests ...Slope) {
		votes = append(votes, cause)
		f.Sentence += "; " + sentence
		f.Rests = append(f.Rests, rests...)
	}
	f.Rests = []Slope{s}

	for _, o := range all {
		if !o.Certificates || o.name() != s.name() {
			continue
		}
		switch {
		case o.drifts() && !s.differs(o):
			vote(ArtifactDrift, "its certificates show the same change", o)
		case !o.drifts() && s.differs(o):
			vote(DeviceDrift, "its certificates show that it held", o)
		}
	}
	same := others(s, all)
	switch {
	case len(same) == 0:
	case every(same, func(o Slope) bool { return o.drifts() && s.together(o) && !s.differs(o) }):
		vote(DeviceDrift, "so it does on "+artifacts(same), same...)
	case every(same, func(o Slope) bool { return o.holds() && s.together(o) && s.differs(o) }):
		vote(ArtifactDrift, "on "+artifacts(same)+" it holds", same...)
	default:
		vote(Undecided, "on "+artifacts(same)+" it neither clearly holds nor clearly drifts alike", same...)
	}
	distance, held := heldDistance(s, all)
	if held && len(votes) == 0 {
		vote(SphereSurface, "its distance holds", distance)
	} else if held && agreed(votes) == ArtifactDrift {
		votes = nil
		vote(SphereSurface, "its distance holds", distance)
	}
	f.Cause = agreed(votes)
	f.Artifact = s.Artifact
	if f.Cause == DeviceDrift {
		f.Artifact = ""
	}
	if len(votes) == 0 {
		f.Sentence = "; nothing else was measured that could tell the artifact from the device"
	}
	f.Sentence = fmt.Sprintf("%s of %s drifts by %.3g µm a day (%.3g to %.3g)%s", s.Quantity, s.Artifact, *s.PerDayUM.Value, *s.Lower.Value, *s.Upper.Value, f.Sentence)
	return f
}

// agreed returns what all votes say, or Undecided.
func agreed(votes []Cause) Cause {
	if len(votes) == 0 {
		return Undecided
	}
	for _, v := range votes[1:] {
		if v != votes[0] {
			return Undecided
		}
	}
	return votes[0]
}

// heldDistance returns the distance on the same artifact if it holds while s, a size, drifts.
func heldDistance(s Slope, all []Slope) (Slope, bool) {
	if s.Quantity != Size {
		return Slope{}, false
	}
	for _, o := range all {
		if !o.Certificates && o.Artifact == s.Artifact && o.Quantity == Distance {
			return o, o.holds() && s.together(o) && s.differs(o)
		}
	}
	return Slope{}, false
}

// others returns the checks of the same quantity on other artifacts. One whose own certificates show it changing is no
// witness.
func others(s Slope, all []Slope) []Slope {
	changed := map[string]bool{}
	for _, o := range all {
		if o.Certificates && o.drifts() {
			changed[o.name()] = true
		}
	}
	var out []Slope
	for _, o := range all {
		if !o.Certificates && o.Quantity == s.Quantity && o.Artifact != s.Artifact && !changed[o.name()] {
			out = append(out, o)
		}
	}
	return out
}

func every(slopes []Slope, is func(Slope) bool) bool {
	for _, s := range slopes {
		if !is(s) {
			return false
		}
	}
	return true
}

func artifacts(slopes []Slope) string {
	names := make([]string, len(slopes))
	for i, s := range slopes {
		names[i] = s.Artifact
	}
	return strings.Join(names, ", ")
}

func (s Slope) name() string { return string(s.Quantity) + " of " + s.Artifact }

func (s Slope) drifts() bool { return s.Lower.Value != nil && s.sign() != 0 }

func (s Slope) holds() bool { return s.Lower.Value != nil && s.sign() == 0 }

// sign returns 1 or −1 for an interval on one side of 0, else 0.
func (s Slope) sign() int {
	switch {
	case *s.Lower.Value > 0:
		return 1
	case *s.Upper.Value < 0:
		return -1
	default:
		return 0
	}
}

// differs says that the intervals have no value in common.
func (s Slope) differs(o Slope) bool {
	return *s.Upper.Value < *o.Lower.Value || *o.Upper.Value < *s.Lower.Value
}

// together says that two series share at least half of the longer one's period.
func (s Slope) together(o Slope) bool {
	shared := min(s.to, o.to) - max(s.from, o.from)
	return 2*shared >= max(s.to-s.from, o.to-o.from)
}
