package choose

import (
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// Standing is what becomes of a device in a choice.
type Standing string

// The standings, the best first. A device stands conditionally if everything that speaks against it would be mended by the
// steps named, provided that they succeed.
const (
	Suitable    Standing = "suitable"
	Conditional Standing = "conditional"
	Unsuitable  Standing = "unsuitable"
)

// Candidate is one device in a choice.
type Candidate struct {
	Device   *rules.Device
	Standing Standing
	Answers  []Answer // one for each need, in their order
	// Share is the largest part of half a tolerance that the bound takes over all needs, 1 being all of it.
	Share     figure.Figure
	Obstacles []Obstacle
	// LastDay is the last day before its calibration or a required check falls due; zero: nothing falls due.
	LastDay calendar.Date
}

// Answer is what a device's bound means for one need.
type Answer struct {
	Limit *records.Limit // nil: the device has none there, and no figure exists
	// PathAssumed is set where the limit counts the path and none was stated: the straight length was taken, the shortest
	// way there can be.
	PathAssumed bool
	MPEUM       figure.Figure // at the length or path
	ThermalUM   float64       // what the temperatures permitted may add; 0 without a climate
	BoundUM     figure.Figure // both together
	Share       figure.Figure // BoundUM over half the tolerance
	Ratio       figure.Figure // half the tolerance over BoundUM
	Probability figure.Figure // of conformance, for a value measured on the edge of the zone
	AcceptUM    figure.Figure // conformity is proved at 95 % up to this distance from the middle of the zone
	// LongestM is the longest that what the limit counts may be for the ratio asked still to be kept, in metres.
	LongestM figure.Figure
	Observed Observed
}

// Kind tells obstacles apart.
type Kind string

// The kinds of obstacles.
const (
	NoLimit     Kind = "no-limit"    // no limit covers the quantity at that length
	Bound       Kind = "bound"       // the bound takes too much of the tolerance
	Temperature Kind = "temperature" // the bound alone would hold, with the temperature it does not
	Fitness     Kind = "fitness"     // it may not be used for that at present
	Calibration Kind = "calibration" // overdue, missing, or due before the job's end
	Check       Kind = "check"       // likewise a required check
)

// Obstacle is one thing that speaks against a device.
type Obstacle struct {
	Kind     Kind
	Need     int // index of the need it concerns; -1: all
	Sentence string
	// Step says what would mend it; empty: nothing that is known.
	Step string
	// Mends is set where the step, if it succeeds, takes the obstacle away; otherwise it is a way to find out.
	Mends   bool
	Sources []rules.Source
}
