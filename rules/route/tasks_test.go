package route_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

func limit(tb testing.TB, text string) quantity.MPE {
	tb.Helper()
	m, err := quantity.ParseMPE(text)
	if err != nil {
		tb.Fatal(err)
	}
	return m
}

// series is six volumes, A to F, each joined to the next over 400 mm.
func series(tb testing.TB) route.Task {
	tb.Helper()
	t := route.Task{MPE: limit(tb, "20 µm + 15 µm/m")}
	for i := range 6 {
		t.Volumes = append(t.Volumes, route.Volume{Name: string(rune('A' + i)), At: space.Point{400 * float64(i)}})
		if i > 0 {
			t.Joins = append(t.Joins, route.Join{From: t.Volumes[i-1].Name, To: t.Volumes[i].Name, LengthMM: 400})
		}
	}
	return t
}

// spokes is the series with a hub, 500 mm from each.
func spokes(tb testing.TB) route.Task {
	tb.Helper()
	t := series(tb)
	for i, v := range t.Volumes {
		// Places on a circle of radius 500 with chords of 400.
		angle := 2 * float64(i) * math.Asin(0.4)
		t.Volumes[i].At = space.Point{500 * math.Cos(angle), 500 * math.Sin(angle)}
		t.Joins = append(t.Joins, route.Join{From: "hub", To: v.Name, LengthMM: 500})
	}
	t.Volumes = append(t.Volumes, route.Volume{Name: "hub", Bridge: true})
	return t
}

func find(tb testing.TB, t route.Task) *route.Plan {
	tb.Helper()
	p, err := route.Find(t, 0)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

func near(tb testing.TB, what string, got, want float64) {
	tb.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
		tb.Errorf("%s %v, want %v", what, got, want)
	}
}

// drawnTask is a connected task of up to most volumes with whole lengths, pairs, features, bridges and frames.
func drawnTask(r *rapid.T, most int, pairs, frames bool) route.Task {
	n := rapid.IntRange(3, most).Draw(r, "volumes")
	var t route.Task
	limits := []string{"20 µm + 15 µm/m", "40 µm/m", "(5 + L/8) µm"}
	if !frames {
		limits = append(limits, "30 µm", "min(10 µm + 20 µm/m, 150 µm)", "min(10 µm + 20 µm/m, 20 µm)")
	}
	t.MPE, _ = quantity.ParseMPE(rapid.SampledFrom(limits).Draw(r, "limit"))
	length := rapid.SampledFrom([]float64{0, 100, 200, 300, 500, 800, 4000})
	name := func(i int) string { return fmt.Sprintf("v%d", i) }
	for i := range n {
		t.Volumes = append(t.Volumes, route.Volume{Name: name(i), Bridge: i > 1 && rapid.IntRange(0, 3).Draw(r, "bridge") == 0})
		if i > 0 {
			t.Joins = append(t.Joins, route.Join{From: name(i), To: name(rapid.IntRange(0, i-1).Draw(r, "to")), LengthMM: length.Draw(r, "length")})
		}
	}
	two := func(what string) (a, b int) {
		a = rapid.IntRange(0, n-1).Draw(r, what)
		return a, (a + rapid.IntRange(1, n-1).Draw(r, what)) % n
	}
	for range rapid.IntRange(0, n).Draw(r, "more") {
		a, b := two("join")
		t.Joins = append(t.Joins, route.Join{From: name(a), To: name(b), LengthMM: length.Draw(r, "length")})
	}
	if frames {
		bound := rapid.SampledFrom([]float64{0, 2, 6, 25})
		a, b := two("bar")
		t.Frames = append(t.Frames, route.Frame{Name: "bar", Volumes: []string{name(a), name(b)}, BoundUM: bound.Draw(r, "bound")})
		t.Frames = append(t.Frames, route.Frame{Name: "frame", Volumes: []string{name(0), name(1), name(2)}, BoundUM: bound.Draw(r, "bound")})
	}
	if pairs {
		stated := rapid.Bool().Draw(r, "stated")
		for i := range rapid.IntRange(0, 3).Draw(r, "features") {
			t.Features = append(t.Features, route.Feature{
				Name: fmt.Sprintf("f%d", i), In: name(rapid.IntRange(0, n-1).Draw(r, "in")),
				At: space.Point{rapid.SampledFrom([]float64{0, 50, 1000, 9000}).Draw(r, "aside")},
			})
		}
		for range rapid.IntRange(1, 6).Draw(r, "pairs") {
			a, b := two("pair")
			p := route.Pair{From: name(a), To: name(b)}
			if len(t.Features) > 0 && rapid.Bool().Draw(r, "from a feature") {
				p.From = t.Features[rapid.IntRange(0, len(t.Features)-1).Draw(r, "feature")].Name
			}
			if stated {
				p.ToleranceUM = rapid.SampledFrom([]float64{50, 100, 200, 1000}).Draw(r, "tolerance")
			}
			t.Pairs = append(t.Pairs, p)
		}
	}
	return t
}

// limitOrNone is limit for a text that may be none.
func limitOrNone(text string) quantity.MPE {
	m, _ := quantity.ParseMPE(text)
	return m
}
