package route_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// By hand: 2000 mm and 50 µm from end to end; beginning in the middle, 400 + 400 + 1200 + 400 + 400.
func TestChain(t *testing.T) {
	task := spokes(t)
	p := find(t, task)
	for _, c := range []struct {
		order       string
		path, bound float64
		worst       string
		left        string
	}{
		{"A B C D E F", 2000, 50, "AF", ""},
		{"F E D C B A", 2000, 50, "FA", ""},
		{"C B A D E F", 800 + 1000 + 800, 59, "CF", ""}, // A to D over the hub, 1000 mm
		{"hub A B", 400, 26, "AB", "C D E F"},
		{"A B C hub D E F", 800 + 1000 + 800, 59, "AF", ""},
	} {
		chain, err := p.Chain(strings.Fields(c.order))
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.order+": path", chain.Worst.PathMM, c.path)
		near(t, c.order+": bound", chain.Worst.BoundUM, c.bound)
		if chain.Worst.From+chain.Worst.To != c.worst || strings.Join(chain.LeftOut, " ") != c.left {
			t.Errorf("%s: %+v, left out %q", c.order, chain.Worst, chain.LeftOut)
		}
	}
	if got := p.NearestOrder(""); strings.Join(got, " ") != "A B C D E F" {
		t.Errorf("nearest: %q", got)
	}
	if got := p.NearestOrder("D"); strings.Join(got, " ") != "D C B A E F" {
		t.Errorf("nearest from D: %q", got)
	}
	// Seen from above, the fan of 236° is open between F and A.
	if got := p.RoundOrder(); strings.Join(got, " ") != "A B C D E F" {
		t.Errorf("round: %q", got)
	}
	if got := p.NearestOrder("G"); got != nil {
		t.Errorf("from a name that is not there: %q", got)
	}
}

func TestChainWithPairs(t *testing.T) {
	task := series(t)
	task.Volumes[0].RadiusMM = 100
	task.Features = []route.Feature{{Name: "bore", At: space.Point{30}}, {Name: "edge", At: space.Point{0, 40}}}
	task.Pairs = []route.Pair{{From: "E", To: "bore", ToleranceUM: 100}, {From: "bore", To: "edge", ToleranceUM: 500}, {From: "B", To: "F", ToleranceUM: 70}}
	chain, err := find(t, task).Chain([]string{"A", "B", "C", "D", "E"})
	if err != nil {
		t.Fatal(err)
	}
	if len(chain.Pairs) != 2 || !slices.Equal(chain.LeftOut, []string{"F"}) || chain.Worst.From != "E" || !slices.Equal(chain.Worst.Through, []string{"E", "D", "C", "B", "A"}) {
		t.Errorf("%+v", chain)
	}
	near(t, "E to bore", chain.Pairs[0].PathMM, 1630)
	near(t, "bore to edge", chain.Pairs[1].PathMM, 50)
	near(t, "share", *chain.Worst.Share.Value, (20+15*1.63)/100)
}

func TestChainRefuses(t *testing.T) {
	task := series(t)
	task.Joins = task.Joins[:4]
	task.Frames = []route.Frame{{Name: "bar", Volumes: []string{"E", "F"}, BoundUM: 3}}
	p := find(t, task)
	for _, c := range []struct{ order, want string }{
		{"", "chain: fewer than two volumes that are no bridges, expected two or more; mend: name the volumes in the order in which they are scanned"},
		{"A", "chain: fewer than two volumes that are no bridges, expected two or more; mend: name the volumes in the order in which they are scanned"},
		{"A B G", `chain 3: "G", expected the name of a volume; mend: name a volume of the task`},
		{"A B A", `chain 3: "A" stands in it twice, expected each volume once; mend: leave one out; a ring that closes is no chain`},
		{"A F", `chain 2: "F", to which no joins lead from "A", expected volumes that joins connect; mend: leave it out, or join it`},
	} {
		if _, err := p.Chain(strings.Fields(c.order)); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
	task.Pairs = []route.Pair{{From: "A", To: "B"}}
	if _, err := find(t, task).Chain([]string{"C", "D"}); err == nil || !strings.Contains(err.Error(), "no pair that counts") {
		t.Errorf("%v", err)
	}
	if got := p.NearestOrder(""); strings.Join(got, " ") != "A B C D E" {
		t.Errorf("nearest: %q", got)
	}
}

// No chain is better than the tree, and each order visits each volume that is no bridge once.
func TestChainAgainstTree(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		task := drawnTask(r, 12, rapid.Bool().Draw(r, "pairs"), false)
		p, err := route.Find(task, 0)
		if err != nil {
			r.Fatal(err)
		}
		for _, order := range [][]string{p.NearestOrder(""), p.RoundOrder()} {
			chain, err := p.Chain(order)
			if err != nil {
				r.Fatal(err)
			}
			if len(chain.LeftOut) > 0 || len(chain.Pairs) != len(task.Pairs) {
				r.Fatalf("%+v", chain)
			}
			// A chain may pass over a volume twice and is then no tree, but the ways along it are no shorter than those of one.
			if len(task.Pairs) == 0 && chain.Worst.BoundUM < p.Worst.BoundUM-1e-9 {
				r.Fatalf("chain %v, tree %v", chain.Worst, p.Worst)
			}
		}
	})
}
