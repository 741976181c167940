package route

import (
	"fmt"
	"math"

	"plumbrule/rules/route/space"
)

func (t *Task) checkFeatures(n *names) error {
	for i, f := range t.Features {
		if err := n.take("feature", i, f.Name); err != nil {
			return err
		}
		if !f.At.Good() {
			return refuse("feature", i, "at", fmt.Sprint(f.At), "three numbers of at most 1e9 mm in size", "look at the unit")
		}
		if f.In != "" && n.taken[f.In] != "volume" {
			return unknown(f.In, n.volumes, "volume", "feature", i, "in")
		}
		v := t.volumeOf(f)
		if v < 0 {
			return refuse("feature", i, "at", fmt.Sprintf("%v lies in no volume whose size is stated", f.At), "a place inside one", `name its volume, in = "…", or state the sizes of the volumes`)
		}
		if in := &t.Volumes[v]; f.In != "" && (in.RadiusMM > 0 || in.SizeMM != (space.Point{})) && !in.holds(f.At) {
			return refuse("feature", i, "at", fmt.Sprintf("%v lies outside %q", f.At, f.In), "a place inside its volume", "look at the place, or name the volume that holds it")
		}
	}
	for _, f := range t.Features {
		n.tellable = append(n.tellable, f.Name)
	}
	return nil
}

// volumeOf returns the index of the volume that a feature lies in; -1 where none is named and none holds it.
func (t *Task) volumeOf(f Feature) int {
	out, nearest := -1, math.Inf(1)
	for i := range t.Volumes {
		v := &t.Volumes[i]
		if f.In != "" {
			if v.Name == f.In {
				return i
			}
			continue
		}
		if d := space.Distance(v.At, f.At); v.holds(f.At) && (d < nearest || d == nearest && v.Name < t.Volumes[out].Name) {
			out, nearest = i, d
		}
	}
	return out
}

func (t *Task) checkPairs(n *names) error {
	for i, p := range t.Pairs {
		for _, end := range []struct{ key, name string }{{"from", p.From}, {"to", p.To}} {
			if kind := n.taken[end.name]; kind != "volume" && kind != "feature" {
				return unknown(end.name, n.tellable, "volume or feature", "pair", i, end.key)
			}
		}
		switch stated := p.ToleranceUM != 0; {
		case p.From == p.To:
			return refuse("pair", i, "to", fmt.Sprintf("%q is where it begins too", p.To), "two features or volumes", "name the other end")
		case !(p.ToleranceUM >= 0 && p.ToleranceUM <= largestUM):
			return refuse("pair", i, "tolerance", fmt.Sprintf("%g µm", p.ToleranceUM), "a length above 0 and up to 1e9 µm", "state the tolerance of the distance")
		case stated != (t.Pairs[0].ToleranceUM != 0):
			return refuse("pair", i, "", "a tolerance is stated for some pairs and not for others", "tolerances for all or for none",
				"state it for all, so that shares of the tolerance can be compared")
		}
	}
	return nil
}
