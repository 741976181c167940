package route

import (
	"plumbrule/records/quantity"
	"plumbrule/rules/route/space"
)

// Task is what is to be joined, and what counts.
type Task struct {
	Volumes []Volume // two or more
	Joins   []Join
	Frames  []Frame

	// Pairs are the distances that matter. Without any, those between all pairs of volumes count alike, but for bridges.
	Pairs    []Pair
	Features []Feature // that pairs name

	// MPE is the limit of the device between volumes, with the path travelled as its length.
	MPE quantity.MPE

	// Obstacles stand between volumes; they count in advice on further joins, not for the joins that the task has.
	Obstacles []space.Shape

	// Bar is an artifact that could be laid between two volumes, for advice; nil: there is none.
	Bar *Bar
	// ReachMM is how long a join may be in advice; 0: as long as the longest of the task.
	ReachMM float64
}

// Volume is a measuring volume: what the device sees without being moved.
type Volume struct {
	Name string      // unlike those of all other volumes, frames and features
	At   space.Point // its middle

	RadiusMM float64     // of a ball; 0: not stated
	SizeMM   space.Point // of a box along the axes; 0, 0, 0: not stated

	// Bridge is set for a volume that nothing is measured in: it is scanned only where it helps to join others.
	Bridge bool
}

// holds tells whether a place lies inside the volume as far as its size is stated.
func (v *Volume) holds(p space.Point) bool {
	if v.RadiusMM > 0 && space.Distance(v.At, p) <= v.RadiusMM {
		return true
	}
	d := v.At.To(p)
	for i, side := range v.SizeMM {
		if !(side > 0 && 2*d[i] <= side && -2*d[i] <= side) {
			return false
		}
	}
	return true
}

// Join is a way to measure from one volume to another directly.
type Join struct {
	From, To string
	LengthMM float64 // path travelled, 0 … 1e9
}

// Frame is an artifact or a photogrammetric frame that ties volumes together with a bound of its own, whatever the path
// between them: a calibrated length covers two.
type Frame struct {
	Name    string
	Volumes []string // two or more
	BoundUM float64  // between any two of them, 0 … 1e9
}

// Feature is a place that a pair refers to.
type Feature struct {
	Name string
	At   space.Point
	In   string // its volume; empty: the one whose middle is nearest, of those that hold it
}

// Pair is a distance that matters, between two features or two volumes.
type Pair struct {
	From, To    string
	ToleranceUM float64 // above 0; 0: not stated, which is allowed for all pairs or none
}

// Bar is a calibrated length.
type Bar struct {
	BoundUM   float64 // 0 … 1e9
	LongestMM float64 // the longest distance it spans, above 0
}
