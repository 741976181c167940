package selftest

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/rules/route"
	"plumbrule/rules/route/graph"
	"plumbrule/rules/route/space"
)

// centre reads a figure of the centre of a small network.
func centre(_ *bench, input string) (float64, error) {
	name, network, _ := strings.Cut(input, " of ")
	edges := []graph.Edge{{A: 0, B: 1, Length: 400}, {A: 1, B: 2, Length: 400}, {A: 2, B: 3, Length: 400}, {A: 3, B: 4, Length: 400}, {A: 4, B: 5, Length: 400}}
	vertices := 6
	switch network {
	case "six in series, 400 apart":
	case "six in series with a hub at 500":
		for v := range 6 {
			edges = append(edges, graph.Edge{A: v, B: 6, Length: 500})
		}
		vertices = 7
	case "three in series, 10 and 4 apart":
		edges, vertices = []graph.Edge{{A: 0, B: 1, Length: 10}, {A: 1, B: 2, Length: 4}}, 3
	default:
		return 0, fmt.Errorf("there is no network %q", network)
	}
	required := make([]bool, vertices)
	for i := range required {
		required[i] = true
	}
	g, err := graph.New(required, edges)
	if err != nil {
		return 0, err
	}
	c, err := g.Centre(math.MaxInt64)
	if err != nil {
		return 0, err
	}
	_, _, longest := g.ShortestTree(c).Longest()
	return pick(name, map[string]float64{"radius": c.Radius, "longest path": longest})
}

// routeBound returns the worst bound over six volumes in a ring with a gap, with or without a hub.
func routeBound(_ *bench, input string) (float64, error) {
	limit, err := quantity.ParseMPE("20 µm + 40 µm/m")
	if err != nil {
		return 0, err
	}
	t := route.Task{MPE: limit}
	for i := range 6 {
		angle := 2 * float64(i) * math.Asin(0.4) // a circle of radius 500 with chords of 400
		t.Volumes = append(t.Volumes, route.Volume{Name: string(rune('A' + i)), At: space.Point{500 * math.Cos(angle), 500 * math.Sin(angle)}})
		if i > 0 {
			t.Joins = append(t.Joins, route.Join{From: t.Volumes[i-1].Name, To: t.Volumes[i].Name, LengthMM: 400})
		}
		if strings.Contains(input, "hub") {
			t.Joins = append(t.Joins, route.Join{From: "hub", To: t.Volumes[i].Name, LengthMM: 500})
		}
	}
	if strings.Contains(input, "hub") {
		t.Volumes = append(t.Volumes, route.Volume{Name: "hub", Bridge: true})
	}
	p, err := route.Find(t, route.UsualEffort)
	if err != nil {
		return 0, err
	}
	return p.Worst.BoundUM, nil
}
