package route_test

import (
	"errors"
	"math"
	"testing"

	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

func TestRefused(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		change func(*route.Task)
		want   string
	}{
		{func(t *route.Task) { t.Volumes = t.Volumes[:1]; t.Joins = nil }, "volume: 1 in the task, expected two or more; mend: list the volumes that are to be joined"},
		{func(t *route.Task) { t.Volumes[1].Name = " " }, "volume 2, name: no name, expected one; mend: give each volume a name of its own"},
		{func(t *route.Task) { t.Volumes[2].Name = "A" }, `volume 3, name: "A" is the name of a volume already, expected a name of its own; mend: rename one of them`},
		{func(t *route.Task) { t.Volumes[0].At[1] = nan }, "volume 1, at: [0 NaN 0], expected three numbers of at most 1e9 mm in size; mend: look at the unit"},
		{func(t *route.Task) { t.Volumes[0].RadiusMM = -1 }, "volume 1, radius: -1 mm, expected a length above 0 and up to 1e9 mm; mend: look at the digits"},
		{func(t *route.Task) { t.Volumes[0].SizeMM[1] = 3 }, "volume 1, size: [0 3 0], expected three lengths above 0 and up to 1e9 mm; mend: look at the digits"},
		{func(t *route.Task) {
			for i := range t.Volumes[1:] {
				t.Volumes[i].Bridge = true
			}
		}, "volume: 1 that are no bridges, expected two or more; mend: leave out the word bridge where something is measured"},
		{func(t *route.Task) { t.Joins[4].LengthMM = -400 }, "join 5, length: -400 mm, expected a length of 0 up to 1e9 mm; mend: state the path that is travelled from the one to the other"},
		{func(t *route.Task) { t.Joins[4].LengthMM = nan }, "join 5, length: NaN mm, expected a length of 0 up to 1e9 mm; mend: state the path that is travelled from the one to the other"},
		{func(t *route.Task) { t.Joins[0].To = "G" }, `join 1, to: "G", expected the name of a volume; mend: name a volume of the task`},
		{func(t *route.Task) { t.Joins[0].From = "B" }, `join 1, to: "B" is where it begins too, expected two volumes; mend: name the volume it leads to`},
		{func(t *route.Task) { t.Frames = []route.Frame{{Name: "A"}} }, `frame 1, name: "A" is the name of a volume already, expected a name of its own; mend: rename one of them`},
		{func(t *route.Task) { t.Frames = []route.Frame{{Name: "f", Volumes: []string{"A"}}} }, "frame 1, volumes: 1, expected two or more volumes that it ties together; mend: name them"},
		{func(t *route.Task) { t.Frames = []route.Frame{{Name: "f", Volumes: []string{"A", "A"}}} }, `frame 1, volumes: "A" is named twice, expected each volume once; mend: leave one out`},
		{func(t *route.Task) { t.Frames = []route.Frame{{Name: "f", Volumes: []string{"A", "B"}, BoundUM: nan}} }, "frame 1, bound: NaN µm, expected a length of 0 up to 1e9 µm; mend: state the bound between any two of its volumes"},
		{func(t *route.Task) {
			t.Frames = []route.Frame{{Name: "f", Volumes: []string{"A", "B"}, BoundUM: 1}}
			t.MPE, _ = quantity.ParseMPE("30 µm")
		}, "frame 1, bound: a bound of its own beside the limit 30 µm, expected a limit that grows with the path without end; mend: leave the frame out, or state the limit without its upper bound"},
		{func(t *route.Task) {
			t.Bar = &route.Bar{BoundUM: 1, LongestMM: 1}
			t.MPE, _ = quantity.ParseMPE("min(1 µm + 2 µm/m, 30 µm)")
		}, "bar: an artifact with a bound beside the limit min(1 µm + 2 µm/m, 30 µm), expected a limit that grows with the path without end; mend: leave the bar out, or state the limit without its upper bound"},
		{func(t *route.Task) { t.Bar = &route.Bar{BoundUM: -1} }, "bar, bound: -1 µm, expected a length of 0 up to 1e9 µm; mend: state the bound of its length"},
		{func(t *route.Task) { t.Bar = &route.Bar{} }, "bar, longest: 0 mm, expected a length above 0 and up to 1e9 mm; mend: state the longest distance that it spans"},
		{func(t *route.Task) { t.ReachMM = nan }, "reach: NaN mm, expected a length above 0 and up to 1e9 mm; mend: look at the digits"},
		{func(t *route.Task) { t.Features = []route.Feature{{Name: "bore", In: "Aa"}} }, `feature 1, in: "Aa", expected the name of a volume; mend: name a volume of the task`},
		{func(t *route.Task) { t.Features = []route.Feature{{Name: "bore"}} }, `feature 1, at: [0 0 0] lies in no volume whose size is stated, expected a place inside one; mend: name its volume, in = "…", or state the sizes of the volumes`},
		{func(t *route.Task) {
			t.Volumes[0].RadiusMM = 10
			t.Features = []route.Feature{{Name: "bore", In: "A", At: space.Point{11}}}
		}, `feature 1, at: [11 0 0] lies outside "A", expected a place inside its volume; mend: look at the place, or name the volume that holds it`},
		{func(t *route.Task) { t.Pairs = []route.Pair{{From: "A", To: "hole"}} }, `pair 1, to: "hole", expected the name of a volume or feature; mend: name a volume or feature of the task`},
		{func(t *route.Task) { t.Pairs = []route.Pair{{From: "A", To: "A"}} }, `pair 1, to: "A" is where it begins too, expected two features or volumes; mend: name the other end`},
		{func(t *route.Task) { t.Pairs = []route.Pair{{From: "A", To: "B", ToleranceUM: -1}} }, "pair 1, tolerance: -1 µm, expected a length above 0 and up to 1e9 µm; mend: state the tolerance of the distance"},
		{func(t *route.Task) {
			t.Pairs = []route.Pair{{From: "A", To: "B", ToleranceUM: 1}, {From: "A", To: "C"}}
		}, "pair 2: a tolerance is stated for some pairs and not for others, expected tolerances for all or for none; mend: state it for all, so that shares of the tolerance can be compared"},
		{func(t *route.Task) { t.MPE = quantity.MPE{} }, `mpe: none, expected the limit of the device between volumes; mend: state it as the maker does, for example "20 µm + 15 µm/m"`},
		{func(t *route.Task) { t.MPE, _ = quantity.ParseMPE("1e7 mm/m") }, "mpe: 10000000 mm/m, expected parts of at most 1e9 µm and 1e9 µm/m; mend: look at the units"},
	} {
		task := series(t)
		c.change(&task)
		_, err := route.Find(task, 0)
		var refused *route.InputError
		if !errors.As(err, &refused) || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

func TestBetweenRefuses(t *testing.T) {
	task := spokes(t)
	task.Volumes = append(task.Volumes, route.Volume{Name: "far", Bridge: true})
	task.Joins = append(task.Joins, route.Join{From: "far", To: "A", LengthMM: 9000})
	p := find(t, task)
	for _, c := range []struct{ from, to, want string }{
		{"A", "G", `pair, to: "G", expected the name of a volume or feature; mend: name a volume or feature of the task`},
		{"A", "A", `pair, to: "A" is where it begins too, expected two features or volumes; mend: name the other end`},
		{"A", "far", `pair: "A" or "far" is a bridge that is not used, expected volumes that are scanned; mend: name the pair in the task`},
	} {
		if _, err := p.Between(c.from, c.to); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
	if w, err := p.Between("F", "hub"); err != nil || w.PathMM != 500 {
		t.Errorf("%+v, %v", w, err)
	}
	if len(p.Notes) != 1 || p.Notes[0] != "not needed as a bridge: far" {
		t.Errorf("%q", p.Notes)
	}
}

// Joins shorter than the straight line are told: 400 mm between places 500 mm apart.
func TestShorterThanStraight(t *testing.T) {
	task := series(t)
	task.Volumes[5].At[0] += 100
	p := find(t, task)
	if len(p.Notes) != 1 || p.Notes[0] != "shorter than the straight line, so that a length or a place is wrong: E to F (400 mm, straight 500 mm)" {
		t.Errorf("%q", p.Notes)
	}
}

// Parts that nothing joins are named with the shortest lines that would; by hand.
func TestApart(t *testing.T) {
	task := series(t)
	task.Joins = append(task.Joins[:1], task.Joins[3:]...) // A-B, then D-E-F; C alone
	task.Volumes = append(task.Volumes, route.Volume{Name: "lost", At: space.Point{0, 100, 0}, Bridge: true})
	task.Obstacles = []space.Shape{space.Box{Least: space.Point{500, -10, -10}, Most: space.Point{600, 10, 10}}} // between B and C
	_, err := route.Find(task, 0)
	var apart *route.ApartError
	if !errors.As(err, &apart) {
		t.Fatalf("%v", err)
	}
	want := "the volumes lie in 3 parts that nothing joins (A, B | C | D, E, F), expected one; the shortest missing join is C to D, 400 mm"
	if err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if len(apart.Missing) != 2 || !apart.Missing[1].Blocked || apart.Missing[1].From != "B" || apart.Missing[1].To != "C" {
		t.Errorf("%+v", apart.Missing)
	}
}
