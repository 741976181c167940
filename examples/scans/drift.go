package main

import "math"

// drift is what registration does to a scan. A handheld scanner joins each view to what it has seen before; every joint is
// off by a little, and the next view starts from there, so the errors add along the way travelled. Here the joints lie a
// decimetre apart. Within a sphere, which one view holds, nothing adds.
type drift struct {
	offsets []vector // in micrometres, after each decimetre from the beginning
}

// pin is a place of the way where the story wants a certain offset.
type pin struct {
	atM    float64
	offset vector // in micrometres
}

// jointUM is the standard deviation of a joint's own error, along x, y and z.
const jointUM = 5

// newDrift walks from pin to pin: the joints err at random, and then the walk is bent evenly, so that it arrives at the
// next pin. The first pin is the beginning, where nothing is off yet.
func newDrift(d draws, pins []pin) drift {
	out := drift{offsets: []vector{{}}}
	at := pin{}
	for _, next := range pins {
		steps := int(math.Round((next.atM - at.atM) * 10))
		walk := []vector{{}}
		for range steps {
			joint := vector{d.normal(), d.normal(), d.normal()}.times(jointUM)
			walk = append(walk, walk[len(walk)-1].plus(joint))
		}
		bend := next.offset.plus(at.offset.times(-1)).plus(walk[steps].times(-1))
		for i := 1; i <= steps; i++ {
			out.offsets = append(out.offsets, at.offset.plus(walk[i]).plus(bend.times(float64(i)/float64(steps))))
		}
		at = next
	}
	return out
}

// at is the offset in micrometres after so many metres.
func (f drift) at(metres float64) vector {
	step := min(max(metres*10, 0), float64(len(f.offsets)-1))
	i := min(int(step), len(f.offsets)-2)
	return f.offsets[i].plus(f.offsets[i+1].plus(f.offsets[i].times(-1)).times(step - float64(i)))
}
