package routefile

import (
	"errors"
	"fmt"

	"plumbrule/records/source"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// straight marks a join whose length the file leaves to the places of its volumes.
const straight = -1

// join gives joins without a length the straight one, adds those within reach, and looks at what stands in obstacles.
func (f *File) join() {
	r, at := f.reader, map[string]space.Point{}
	for i, v := range f.Task.Volumes {
		at[v.Name] = v.At
		for k, o := range f.Task.Obstacles {
			if o.Holds(v.At) {
				r.fail(f.offset("volume", i, "at", -1), fmt.Sprintf("volume %q has its middle inside %s, which blocks every line from there", v.Name, f.Obstacles[k]),
					"make the obstacle smaller, or move the volume")
			}
		}
	}
	for i := range f.Task.Joins {
		j := &f.Task.Joins[i]
		from, isFrom := at[j.From]
		to, isTo := at[j.To]
		if j.LengthMM != straight || !isFrom || !isTo {
			j.LengthMM = max(j.LengthMM, 0) // unknown names are told later
			continue
		}
		j.LengthMM = space.Distance(from, to)
		if k := space.Blocked(from, to, f.Task.Obstacles); k >= 0 {
			r.fail(f.offset("join", i, "", -1), fmt.Sprintf("join %s to %s has no length, and %s stands on the straight line", j.From, j.To, f.Obstacles[k]),
				"state the length of the path around it, length = …")
		}
	}
	if f.Task.ReachMM > 0 {
		joins, err := route.Reached(f.Task.Volumes, f.Task.ReachMM, f.Task.Obstacles)
		if err != nil {
			r.fail(f.offset("reach", -1, "", -1), err.Error(), "lower the reach")
		}
		f.Task.Joins = append(f.Task.Joins, joins...)
	}
	if len(f.Task.Joins)+len(f.Task.Frames) == 0 && len(r.problems) == 0 && len(f.Task.Volumes) > 1 {
		mend := `add reach = "…", or [[join]] tables`
		if f.Task.ReachMM > 0 {
			mend = "raise the reach, or add [[join]] tables"
		}
		r.problems = append(r.problems, Problem{File: r.name, Message: "no join between any two volumes, expected some", Mend: mend})
	}
}

// Locate puts what the rules refuse back to its place in the file; ok is false for another error.
func (f *File) Locate(err error) (p Problem, ok bool) {
	var refused *route.InputError
	if !errors.As(err, &refused) {
		return Problem{}, false
	}
	what := refused.List
	if refused.Key != "" {
		what += ", " + refused.Key
	}
	message := fmt.Sprintf("%s: %s, expected %s", what, refused.Found, refused.Expected)
	offset := f.offset(refused.List, refused.Index, refused.Key, refused.Item)
	if offset < 0 {
		return Problem{File: f.reader.name, Message: message, Mend: refused.Mend}, true
	}
	return f.reader.problem(offset, message, refused.Mend), true
}

// offset finds an entry of a list, a key of it, or an element of that; the nearest there is where one is not written, and
// -1 where not even the list is.
func (f *File) offset(list string, index int, key string, item int) int {
	n, is := f.root.Child(list)
	if !is {
		return -1
	}
	n = element(n, index)
	if child, is := n.Child(key); is {
		n = element(child, item)
	}
	return n.ValueOffset()
}

// element returns an element of an array, or the array where it has none of that number.
func element(n source.Node, index int) source.Node {
	i := 0
	for e := range n.Elements() {
		if i == index {
			return e
		}
		i++
	}
	return n
}
