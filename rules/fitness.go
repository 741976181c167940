package rules

// Fitness says whether a device may be used.
type Fitness string

// The states of fitness.
const (
	Fit     Fitness = "fit"     // may be used within its limits
	Limited Fitness = "limited" // may be used for what is named, and nothing else
	Unknown Fitness = "unknown" // cannot be judged; not to be used until it can
	Unfit   Fitness = "unfit"   // may not be used
)

// weight orders states from harmless to worst.
func (f Fitness) weight() int {
	switch f {
	case Limited:
		return 1
	case Unknown:
		return 2
	case Unfit:
		return 3
	case Fit:
	}
	return 0
}

// worse returns the worse of two states.
func worse(a, b Fitness) Fitness {
	if b.weight() > a.weight() {
		return b
	}
	return a
}
