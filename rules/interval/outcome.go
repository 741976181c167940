package interval

import (
	"cmp"
	"fmt"
	"slices"
)

// Outcome is what one calibration found, before any adjustment.
type Outcome struct {
	Subject     string  // the device
	Months      float64 // length of the interval that ended with this calibration
	InTolerance bool    // as found, by the decision rule in force
	// Ratio is |error as found|/MPE, the worst over the quantities; nil if the error is not known.
	Ratio *float64
}

func (o Outcome) check() error {
	if err := checkMonths("months", o.Months); err != nil {
		return err
	}
	if o.Ratio != nil && !(*o.Ratio >= 0 && *o.Ratio <= largest) {
		return &InputError{Field: "ratio", Found: fmt.Sprintf("%g", *o.Ratio), Expected: "|error|/MPE, a number of 0 or more"}
	}
	return nil
}

// Group counts the outcomes at one length of interval.
type Group struct {
	Months      float64
	Trials      int // outcomes
	InTolerance int // of them
}

// Groups counts the outcomes by the exact length of their intervals, shortest first. It does not look at their other fields.
func Groups(outcomes []Outcome) []Group {
	byMonths := map[float64]Group{}
	for _, o := range outcomes {
		g := byMonths[o.Months]
		g.Months = o.Months
		g.Trials++
		if o.InTolerance {
			g.InTolerance++
		}
		byMonths[o.Months] = g
	}
	groups := make([]Group, 0, len(byMonths))
	for _, g := range byMonths {
		groups = append(groups, g)
	}
	slices.SortFunc(groups, func(a, b Group) int { return cmp.Compare(a.Months, b.Months) })
	return groups
}
