package rules

import (
	"cmp"
	"slices"

	"plumbrule/records"
)

// Reason is one thing that bears on the fitness of a device.
type Reason struct {
	Code       string // see [ReasonCodes]
	Effect     Fitness
	Sentence   string
	Quantities []records.Quantity // it concerns; empty: the device as a whole
	Sources    []Source           // the records it rests on
}

// Source is a place in a record that a conclusion rests on.
type Source struct {
	File string
	Line int // 0: the record as a whole
}

// sortReasons puts the worst first; within one effect the order is that of the
// catalogue, then that of finding.
func (c *context) sortReasons(list []Reason) {
	if len(list) < 2 {
		return
	}
	rank := c.policy().rank
	slices.SortStableFunc(list, func(a, b Reason) int {
		return cmp.Or(
			cmp.Compare(b.Effect.weight(), a.Effect.weight()),
			cmp.Compare(rank[a.Code], rank[b.Code]),
		)
	})
}
