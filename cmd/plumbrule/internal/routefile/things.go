package routefile

import (
	"fmt"

	"plumbrule/records/source"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

func (f *File) frame(n source.Node) {
	t, r := route.Frame{}, f.reader
	r.table(n, "frame", []key{
		{"name", true, func(n source.Node) { r.text(n, &t.Name) }},
		{"volumes", true, func(n source.Node) { r.list(n, &t.Volumes) }},
		{"bound", true, func(n source.Node) { t.BoundUM = r.from0(n, "bound").Micrometres() }},
	})
	f.Task.Frames = append(f.Task.Frames, t)
}

func (f *File) bar(n source.Node) {
	b, r := route.Bar{}, f.reader
	r.table(n, "bar", []key{
		{"bound", true, func(n source.Node) { b.BoundUM = r.from0(n, "bound").Micrometres() }},
		{"longest", true, func(n source.Node) { b.LongestMM = r.above0(n, "longest").Millimetres() }},
	})
	f.Task.Bar = &b
}

func (f *File) feature(n source.Node) {
	t, r := route.Feature{}, f.reader
	r.table(n, "feature", []key{
		{"name", true, func(n source.Node) { r.text(n, &t.Name) }},
		{"at", true, func(n source.Node) { t.At = r.place(n, "at") }},
		{"in", false, func(n source.Node) { r.text(n, &t.In) }},
	})
	f.Task.Features = append(f.Task.Features, t)
}

func (f *File) pair(n source.Node) {
	p, r := route.Pair{}, f.reader
	r.table(n, "pair", []key{
		{"from", true, func(n source.Node) { r.text(n, &p.From) }},
		{"to", true, func(n source.Node) { r.text(n, &p.To) }},
		{"tolerance", false, func(n source.Node) { p.ToleranceUM = r.above0(n, "tolerance").Micrometres() }},
	})
	f.Task.Pairs = append(f.Task.Pairs, p)
}

func (f *File) obstacle(n source.Node) {
	r, before := f.reader, len(f.reader.problems)
	var (
		name, shape  string
		from, to, at space.Point
		radius       float64
	)
	keys := []key{
		{"name", false, func(n source.Node) { r.text(n, &name) }},
		{"shape", true, func(n source.Node) { r.text(n, &shape) }},
	}
	ends := []key{
		{"from", true, func(n source.Node) { from = r.place(n, "from") }},
		{"to", true, func(n source.Node) { to = r.place(n, "to") }},
	}
	round := key{"radius", true, func(n source.Node) { radius = r.above0(n, "radius").Millimetres() }}
	which, is := n.Child("shape")
	word, _ := which.Text()
	switch word {
	case "box":
		keys = append(keys, ends...)
	case "ball":
		keys = append(keys, key{"at", true, func(n source.Node) { at = r.place(n, "at") }}, round)
	case "cylinder":
		keys = append(append(keys, ends...), round)
	default:
		if is {
			r.fail(which.ValueOffset(), fmt.Sprintf("shape is %s, expected \"box\", \"ball\" or \"cylinder\"", which.Source()), "")
			return
		}
	}
	r.table(n, "obstacle", keys)
	if len(r.problems) > before {
		return
	}
	var solid space.Shape
	switch shape {
	case "box":
		least, most := corners(from, to)
		solid = space.Box{Least: least, Most: most}
	case "ball":
		solid = space.Ball{Centre: at, Radius: radius}
	default:
		solid = space.Cylinder{From: from, To: to, Radius: radius}
	}
	if err := solid.Check(); err != nil {
		r.fail(n.ValueOffset(), "obstacle: "+err.Error(), "")
		return
	}
	if name == "" {
		name = fmt.Sprintf("obstacle %d", len(f.Obstacles)+1)
	}
	f.Obstacles, f.Task.Obstacles = append(f.Obstacles, name), append(f.Task.Obstacles, solid)
}
