package route_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// By hand: six volumes 400 mm apart in series have a worst path of 2000 mm, through a hub by spokes of 500 mm one of 1000 mm;
// with 20 µm + 15 µm/m that is 50 µm and 35 µm.
func TestSeriesAndSpokes(t *testing.T) {
	p := find(t, series(t))
	if diff := cmp.Diff(route.Centre{From: "C", To: "D", AlongMM: 200}, p.Centre); diff != "" {
		t.Error(diff)
	}
	near(t, "path", p.Worst.PathMM, 2000)
	near(t, "bound", p.Worst.BoundUM, 50)
	if p.Worst.From != "A" || p.Worst.To != "F" || !p.Proof.Optimal || p.Proof.LeastBoundUM != p.Worst.BoundUM {
		t.Errorf("%+v %+v", p.Worst, p.Proof)
	}
	p = find(t, spokes(t))
	if diff := cmp.Diff(route.Centre{Name: "hub"}, p.Centre); diff != "" {
		t.Error(diff)
	}
	near(t, "path", p.Worst.PathMM, 1000)
	near(t, "bound", p.Worst.BoundUM, 35)
	if !p.Proof.Optimal || p.Worst.Share.Value != nil || len(p.Links) != 6 || len(p.Pairs) != 0 {
		t.Errorf("%+v", p)
	}
}

// By hand: what the limit says over the worst path of 2000 mm or 1000 mm.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		mpe             string
		chained, spoked float64
		note            bool
	}{
		{"30 µm", 30, 30, true},
		{"15 µm/m", 30, 15, false},
		{"(20 + L/50) µm", 60, 40, false},
		{"min(20 µm + 15 µm/m, 40 µm)", 40, 35, false},
	} {
		chained, spoked := series(t), spokes(t)
		chained.MPE, spoked.MPE = limit(t, c.mpe), limit(t, c.mpe)
		a, b := find(t, chained), find(t, spoked)
		near(t, c.mpe+" in series", a.Worst.BoundUM, c.chained)
		near(t, c.mpe+" by spokes", b.Worst.BoundUM, c.spoked)
		near(t, "path", b.Worst.PathMM, 1000)
		if (len(b.Notes) > 0) != c.note || !a.Proof.Optimal || !b.Proof.Optimal {
			t.Errorf("%s: notes %q, %+v", c.mpe, b.Notes, b.Proof)
		}
	}
}

// By hand: a calibrated length of 6 µm between A and F is worth a path of 400 mm, so that the ring of six is open where it is
// longest: two of the joins apart, 3·400 mm, or 2·400 mm and the bar.
func TestFrames(t *testing.T) {
	task := series(t)
	task.Frames = []route.Frame{{Name: "bar", Volumes: []string{"F", "A"}, BoundUM: 6}}
	p := find(t, task)
	near(t, "bound", p.Worst.BoundUM, 50) // a ring of six equal parts is a chain of five in every tree
	task.Frames[0].BoundUM = 0
	p = find(t, task)
	near(t, "bound", p.Worst.BoundUM, 20+15*1.6)
	if !slices.ContainsFunc(p.Links, func(l route.Link) bool { return l.Frame == "bar" && l.LengthMM == 0 }) {
		t.Errorf("%+v", p.Links)
	}
	// One frame of 9 µm over A, C, D and F: each of the others hangs on one of these.
	task.Frames = []route.Frame{{Name: "frame", Volumes: []string{"A", "C", "D", "F"}, BoundUM: 9}}
	p = find(t, task)
	near(t, "bound", p.Worst.BoundUM, 20+9+15*0.8)
	near(t, "path", p.Worst.PathMM, 800)
	// One over all six, which all hang on.
	task.Frames = []route.Frame{{Name: "frame", Volumes: []string{"F", "B", "C", "D", "E", "A"}, BoundUM: 3}}
	p = find(t, task)
	near(t, "bound", p.Worst.BoundUM, 23)
	near(t, "path", p.Worst.PathMM, 0)
	if diff := cmp.Diff(route.Centre{Name: "frame"}, p.Centre); diff != "" {
		t.Error(diff)
	}
	if first := p.Order[0]; first.Volume != "A" || first.From != "frame" || len(p.Order) != 6 || len(p.Links) != 6 || p.Links[0].BoundUM != 1.5 {
		t.Errorf("%+v %+v", p.Order, p.Links)
	}
	w, err := p.Between("D", "A")
	if err != nil || w.BoundUM != 23 || w.PathMM != 0 || !slices.Equal(w.Through, []string{"D", "frame", "A"}) {
		t.Errorf("%+v, %v", w, err)
	}
}

// By hand: with the pair A to F alone, its shortest path; with pairs between neighbours too, the sharpest tolerance decides.
func TestPairs(t *testing.T) {
	task := spokes(t)
	task.Pairs = []route.Pair{{From: "A", To: "B", ToleranceUM: 50}, {From: "A", To: "F", ToleranceUM: 100}}
	p := find(t, task)
	near(t, "A to B", p.Pairs[0].PathMM, 400)
	near(t, "A to F", p.Pairs[1].PathMM, 1000)
	near(t, "share", *p.Worst.Share.Value, 0.52) // 20 + 15·0.4 = 26 of 50
	near(t, "at least", p.Proof.LeastShare, 0.52)
	if !p.Proof.Optimal || p.Worst.To != "B" || len(p.Order) < 6 {
		t.Errorf("%+v", p)
	}
	// A to B over the hub, because A to F and B to F are sharper: 1000 mm each of the three.
	task.Pairs = []route.Pair{{From: "A", To: "B", ToleranceUM: 200}, {From: "A", To: "F", ToleranceUM: 60}, {From: "B", To: "F", ToleranceUM: 60}, {From: "A", To: "D", ToleranceUM: 60}}
	p = find(t, task)
	near(t, "share", *p.Worst.Share.Value, 35.0/60)
	if !p.Proof.Optimal {
		t.Errorf("%+v", p.Proof)
	}
}

// By hand: of three volumes 400 mm from each other one pair goes round, over 800 mm; not the one whose feature lies 300 mm
// aside, which would have 1100 mm.
func TestAsideDecides(t *testing.T) {
	for _, ends := range [][2]string{{"A", "B"}, {"B", "C"}, {"C", "A"}} {
		task := route.Task{MPE: limit(t, "20 µm + 15 µm/m"), Features: []route.Feature{{Name: "bore", In: ends[0], At: space.Point{300}}}}
		for _, name := range []string{"A", "B", "C"} {
			task.Volumes = append(task.Volumes, route.Volume{Name: name})
		}
		for _, two := range [][2]string{{"A", "B"}, {"B", "C"}, {"C", "A"}} {
			task.Joins = append(task.Joins, route.Join{From: two[0], To: two[1], LengthMM: 400})
			pair := route.Pair{From: two[0], To: two[1], ToleranceUM: 100}
			if two == ends {
				pair.From = "bore"
			}
			task.Pairs = append(task.Pairs, pair)
		}
		near(t, fmt.Sprint(ends), find(t, task).Worst.PathMM, 800)
	}
}

// By hand: a pair whose limit is at its upper bound in every tree, 20 µm of 100 µm, leaves the tree to the other pair, for
// which the join of 400 mm, 18 µm of 50 µm, is better than the way over the hub.
func TestUpperBoundOfTheLimit(t *testing.T) {
	task := spokes(t)
	task.MPE = limit(t, "min(10 µm + 20 µm/m, 20 µm)")
	task.Features = []route.Feature{{Name: "far", In: "A", At: space.Point{500, 9000}}}
	task.Pairs = []route.Pair{{From: "far", To: "F", ToleranceUM: 100}, {From: "C", To: "D", ToleranceUM: 50}}
	p := find(t, task)
	near(t, "far to F", *p.Pairs[0].Share.Value, 0.2)
	near(t, "C to D", *p.Pairs[1].Share.Value, 0.36)
	if !p.Proof.Optimal || p.Worst.From != "C" {
		t.Errorf("%+v", p)
	}
}

// By hand: features 30 mm aside of the middles make the path 60 mm longer; two in one volume have the straight line.
func TestFeatures(t *testing.T) {
	task := series(t)
	for i := range task.Volumes {
		task.Volumes[i].RadiusMM = 250
	}
	task.Features = []route.Feature{
		{Name: "bore", At: space.Point{30, 0, 0}},
		{Name: "edge", At: space.Point{0, 40, 0}, In: "A"},
		{Name: "tip", At: space.Point{2030, 0, 0}},
		{Name: "halfway", At: space.Point{200, 0, 0}}, // in A and B; A has the lower name
	}
	task.Pairs = []route.Pair{{From: "bore", To: "tip", ToleranceUM: 100}, {From: "edge", To: "bore", ToleranceUM: 20}, {From: "halfway", To: "A", ToleranceUM: 200}}
	p := find(t, task)
	near(t, "bore to tip", p.Pairs[0].PathMM, 2060)
	near(t, "its bound", p.Pairs[0].BoundUM, 50.9)
	near(t, "edge to bore", p.Pairs[1].PathMM, 50)
	near(t, "halfway to A", p.Pairs[2].PathMM, 200)
	// 20.75 of 20 is worse than 50.9 of 100, and no tree can help.
	near(t, "share", *p.Worst.Share.Value, 20.75/20)
	if !p.Proof.Optimal || p.Proof.LeastShare != *p.Worst.Share.Value || !slices.Equal(p.Pairs[1].Through, []string{"A"}) {
		t.Errorf("%+v", p)
	}
	// Pairs inside volumes alone leave the tree to all pairs.
	task.Pairs = task.Pairs[1:]
	p = find(t, task)
	if p.Centre.From != "C" || len(p.Order) != 6 || !p.Proof.Optimal {
		t.Errorf("%+v", p)
	}
}

// The order of scanning and the path from its beginning, by hand: from D to its nearest neighbour first, each branch to its
// end.
func TestOrder(t *testing.T) {
	task := series(t)
	task.Joins[1].LengthMM = 300 // B to C
	task.Joins[3].LengthMM = 350 // D to E
	p := find(t, task)           // 400 + 300 + 400 + 350 + 400 from A to F: the middle lies on C to D, 225 from C
	var got []string
	for _, s := range p.Order {
		got = append(got, fmt.Sprintf("%s from %s %g %g", s.Volume, s.From, s.LengthMM, s.OutMM))
	}
	want := []string{"D from  0 0", "E from D 350 350", "F from E 400 750", "C from D 400 400", "B from C 300 700", "A from B 400 1100"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(route.Centre{From: "C", To: "D", AlongMM: 225}, p.Centre); diff != "" {
		t.Error(diff)
	}
}

// A ring too large to search all its trees: the bound is each pair's own shortest path, and what is not proven says so. A
// pair inside one volume that is worse than all of that, in every tree, proves the rest at once.
func TestNotProven(t *testing.T) {
	task := ringOf(t, 40)
	for i := range 40 {
		task.Pairs = append(task.Pairs, route.Pair{From: fmt.Sprint(i), To: fmt.Sprint((i + 1) % 40), ToleranceUM: 100})
	}
	p := find(t, task)
	near(t, "at least", p.Proof.LeastShare, 0.26)
	near(t, "share", *p.Worst.Share.Value, (20+15*15.6)/100)
	if p.Proof.Optimal || !strings.Contains(p.Proof.Reason, "up to 24 volumes") {
		t.Errorf("%+v", p.Proof)
	}
	task.Features = []route.Feature{{Name: "bore", In: "7"}}
	task.Pairs = append(task.Pairs, route.Pair{From: "bore", To: "7", ToleranceUM: 5})
	p = find(t, task)
	near(t, "share", *p.Worst.Share.Value, 4)
	if !p.Proof.Optimal || p.Proof.Reason != "" || p.Proof.LeastShare != 4 {
		t.Errorf("%+v", p.Proof)
	}
	// The search for the centre of a ring, cut short.
	task.Pairs, task.Features = nil, nil
	cut, err := route.Find(task, 2000)
	if err != nil || cut.Proof.Optimal || !strings.Contains(cut.Proof.Reason, "steps") || cut.Proof.LeastBoundUM > 20+15*15.6 || cut.Worst.BoundUM < 20+15*15.6 {
		t.Errorf("%+v %+v, %v", cut.Worst, cut.Proof, err)
	}
}
