package route

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/records/spelling"
	"plumbrule/rules/route/space"
)

// InputError says which part of a task cannot be used, why, and what would mend it.
type InputError struct {
	List  string // "volume", "join", "frame", "feature", "pair", "chain", "bar" or "mpe"
	Index int    // in the list, from 0; -1: the list as a whole
	Key   string // "name", "at", "radius", "size", "from", "to", "length", "volumes", "bound", "in", "tolerance", "longest"; empty: the entry
	Item  int    // in the key's own list, from 0; -1: the key

	Found, Expected, Mend string
}

// Error returns the message on one line: where, what is there, what was expected, and the remedy.
func (e *InputError) Error() string {
	where := e.List
	if e.Index >= 0 {
		where += fmt.Sprintf(" %d", e.Index+1)
	}
	if e.Key != "" {
		where += ", " + e.Key
	}
	text := fmt.Sprintf("%s: %s, expected %s", where, e.Found, e.Expected)
	if e.Mend == "" {
		return text
	}
	return text + "; mend: " + e.Mend
}

func refuse(list string, index int, key, found, expected, mend string) error {
	return &InputError{List: list, Index: index, Key: key, Item: -1, Found: found, Expected: expected, Mend: mend}
}

// Limits of figures; comparisons with them are written so that NaN, which compares false with everything, is refused too.
const (
	largestMM   = space.Largest
	largestUM   = 1e9
	mostVolumes = 1 << 20
	mostJoins   = 1 << 24
)

// names are what the parts of a task are called.
type names struct {
	taken    map[string]string // kind of the one that has the name
	volumes  []string
	tellable []string // volumes and features
}

// check refuses a task that cannot be computed.
func (t *Task) check() error {
	if len(t.Volumes) < 2 {
		return refuse("volume", -1, "", fmt.Sprintf("%d in the task", len(t.Volumes)), "two or more", "list the volumes that are to be joined")
	}
	if len(t.Volumes) > mostVolumes || len(t.Joins) > mostJoins {
		return refuse("volume", -1, "", fmt.Sprintf("%d volumes and %d joins", len(t.Volumes), len(t.Joins)), fmt.Sprintf("at most %d and %d", mostVolumes, mostJoins), "join fewer, larger volumes")
	}
	n := &names{taken: map[string]string{}}
	for _, f := range []func(*names) error{t.checkVolumes, t.checkJoins, t.checkFrames, t.checkFeatures, t.checkPairs} {
		if err := f(n); err != nil {
			return err
		}
	}
	return t.checkLimit()
}

func (n *names) take(kind string, index int, name string) error {
	if strings.TrimSpace(name) == "" {
		return refuse(kind, index, "name", "no name", "one", "give each "+kind+" a name of its own")
	}
	if other, is := n.taken[name]; is {
		return refuse(kind, index, "name", fmt.Sprintf("%q is the name of a %s already", name, other), "a name of its own", "rename one of them")
	}
	n.taken[name] = kind
	return nil
}

// unknown refuses a name that none of the given has.
func unknown(name string, among []string, what, kind string, index int, key string) error {
	mend := "name a " + what + " of the task"
	if near := spelling.Nearest(name, among); near != "" {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	return refuse(kind, index, key, fmt.Sprintf("%q", name), "the name of a "+what, mend)
}

func (t *Task) checkVolumes(n *names) error {
	measured := 0
	for i, v := range t.Volumes {
		if err := n.take("volume", i, v.Name); err != nil {
			return err
		}
		n.volumes = append(n.volumes, v.Name)
		if !v.At.Good() {
			return refuse("volume", i, "at", fmt.Sprint(v.At), "three numbers of at most 1e9 mm in size", "look at the unit")
		}
		if !(v.RadiusMM >= 0 && v.RadiusMM <= largestMM) {
			return refuse("volume", i, "radius", fmt.Sprintf("%g mm", v.RadiusMM), "a length above 0 and up to 1e9 mm", "look at the digits")
		}
		if v.SizeMM != (space.Point{}) && !(v.SizeMM.Good() && min(v.SizeMM[0], v.SizeMM[1], v.SizeMM[2]) > 0) {
			return refuse("volume", i, "size", fmt.Sprint(v.SizeMM), "three lengths above 0 and up to 1e9 mm", "look at the digits")
		}
		if !v.Bridge {
			measured++
		}
	}
	n.tellable = n.volumes
	if measured < 2 {
		return refuse("volume", -1, "", fmt.Sprintf("%d that are no bridges", measured), "two or more", "leave out the word bridge where something is measured")
	}
	return nil
}

func (t *Task) checkJoins(n *names) error {
	for i, j := range t.Joins {
		for _, end := range []struct{ key, name string }{{"from", j.From}, {"to", j.To}} {
			if n.taken[end.name] != "volume" {
				return unknown(end.name, n.volumes, "volume", "join", i, end.key)
			}
		}
		if j.From == j.To {
			return refuse("join", i, "to", fmt.Sprintf("%q is where it begins too", j.To), "two volumes", "name the volume it leads to")
		}
		if !(j.LengthMM >= 0 && j.LengthMM <= largestMM) {
			return refuse("join", i, "length", fmt.Sprintf("%g mm", j.LengthMM), "a length of 0 up to 1e9 mm", "state the path that is travelled from the one to the other")
		}
	}
	return nil
}

func (t *Task) checkFrames(n *names) error {
	for i, f := range t.Frames {
		if err := n.take("frame", i, f.Name); err != nil {
			return err
		}
		if len(f.Volumes) < 2 {
			return refuse("frame", i, "volumes", fmt.Sprintf("%d", len(f.Volumes)), "two or more volumes that it ties together", "name them")
		}
		seen := map[string]bool{}
		for k, name := range f.Volumes {
			var err error
			switch {
			case n.taken[name] != "volume":
				err = unknown(name, n.volumes, "volume", "frame", i, "volumes")
			case seen[name]:
				err = refuse("frame", i, "volumes", fmt.Sprintf("%q is named twice", name), "each volume once", "leave one out")
			}
			if e, is := err.(*InputError); is { //nolint:errorlint // made two lines above
				e.Item = k
				return e
			}
			seen[name] = true
		}
		if !(f.BoundUM >= 0 && f.BoundUM <= largestUM) {
			return refuse("frame", i, "bound", fmt.Sprintf("%g µm", f.BoundUM), "a length of 0 up to 1e9 µm", "state the bound between any two of its volumes")
		}
	}
	if t.Bar != nil {
		switch b := *t.Bar; {
		case !(b.BoundUM >= 0 && b.BoundUM <= largestUM):
			return refuse("bar", -1, "bound", fmt.Sprintf("%g µm", b.BoundUM), "a length of 0 up to 1e9 µm", "state the bound of its length")
		case !(b.LongestMM > 0 && b.LongestMM <= largestMM):
			return refuse("bar", -1, "longest", fmt.Sprintf("%g mm", b.LongestMM), "a length above 0 and up to 1e9 mm", "state the longest distance that it spans")
		}
	}
	if !(t.ReachMM >= 0 && t.ReachMM <= largestMM) {
		return refuse("reach", -1, "", fmt.Sprintf("%g mm", t.ReachMM), "a length above 0 and up to 1e9 mm", "look at the digits")
	}
	return nil
}

func (t *Task) checkLimit() error {
	if t.MPE.IsZero() {
		return refuse("mpe", -1, "", "none", "the limit of the device between volumes", `state it as the maker does, for example "20 µm + 15 µm/m"`)
	}
	if !(t.MPE.SlopePerMetre() <= 1e9) || math.IsInf(t.MPE.Constant().Micrometres(), 0) || t.MPE.Constant().Micrometres() > largestUM {
		return refuse("mpe", -1, "", t.MPE.String(), "parts of at most 1e9 µm and 1e9 µm/m", "look at the units")
	}
	_, capped := t.MPE.Bound()
	for i, f := range t.Frames {
		if f.BoundUM > 0 && (capped || t.MPE.SlopePerMetre() == 0) {
			return refuse("frame", i, "bound", fmt.Sprintf("a bound of its own beside the limit %s", t.MPE), "a limit that grows with the path without end",
				"leave the frame out, or state the limit without its upper bound")
		}
	}
	if t.Bar != nil && (capped || t.MPE.SlopePerMetre() == 0) {
		return refuse("bar", -1, "", fmt.Sprintf("an artifact with a bound beside the limit %s", t.MPE), "a limit that grows with the path without end",
			"leave the bar out, or state the limit without its upper bound")
	}
	return nil
}
