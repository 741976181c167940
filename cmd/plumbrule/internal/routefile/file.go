package routefile

import (
	"errors"
	"fmt"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// File is what a file says.
type File struct {
	Title string // empty: none
	Task  route.Task
	// Obstacles are what the task's obstacles are called, in their order.
	Obstacles []string
	// Chain is the order of the chain to compare with; nil: none is written.
	Chain []string
	// ChainBy is "nearest" or "around" where the order is to be found; empty where it is written, or nothing is.
	ChainBy string

	reader *reader
	root   source.Node
}

// The words for a chain whose order is to be found.
const (
	Nearest = "nearest" // to the nearest volume that is not scanned yet
	Around  = "around"  // around the part, seen from above
)

// Options are what is known beside the file.
type Options struct {
	// MPE is the limit to use in place of the file's; not stated: the file must have one.
	MPE quantity.MPE

	// Points reads the points of a cloud or the corners of a mesh, in millimetres, from the file that [part] names and in
	// the unit it states, empty if none. nil: files are not read.
	Points func(name, unit string) ([]space.Point, error)
}

// Read reads a file. The file is nil where there are problems, which are sorted by their place.
func Read(name string, text []byte, o Options) (*File, []Problem) {
	var parser source.Parser
	doc, fault := parser.Parse(text)
	if fault != nil {
		return nil, []Problem{{name, fault.Pos, fault.Message, fault.Mend, source.Excerpt(string(text), fault.Offset)}}
	}
	f := &File{reader: &reader{name: name, doc: doc}, root: doc.Root()}
	f.Task.MPE = o.MPE
	f.readAll(o)
	if len(f.reader.problems) == 0 {
		f.join()
	}
	if len(f.reader.problems) > 0 {
		return nil, sorted(f.reader.problems)
	}
	return f, nil
}

func (f *File) readAll(o Options) {
	r := f.reader
	// The unit first: figures may stand above it.
	if n, is := f.root.Child("unit"); is {
		f.unit(n)
	}
	var part source.Node
	r.table(f.root, "the file", []key{
		{"title", false, func(n source.Node) { r.text(n, &f.Title) }},
		{"unit", false, func(source.Node) {}},
		{"mpe", o.MPE.IsZero(), func(n source.Node) { f.limit(n, o) }},
		{"reach", false, func(n source.Node) { f.Task.ReachMM = r.above0(n, "reach").Millimetres() }},
		{"chain", false, f.chain},
		{"volume", false, func(n source.Node) { r.each(n, "volume", f.volume) }},
		{"part", false, func(n source.Node) { part = n }},
		{"join", false, func(n source.Node) { r.each(n, "join", f.joinOf) }},
		{"frame", false, func(n source.Node) { r.each(n, "frame", f.frame) }},
		{"bar", false, f.bar},
		{"obstacle", false, func(n source.Node) { r.each(n, "obstacle", f.obstacle) }},
		{"feature", false, func(n source.Node) { r.each(n, "feature", f.feature) }},
		{"pair", false, func(n source.Node) { r.each(n, "pair", f.pair) }},
	})
	if part.Kind() != source.None {
		f.part(part, o)
	}
}

func (f *File) unit(n source.Node) {
	text := ""
	f.reader.text(n, &text)
	if text == "" {
		return
	}
	unit, err := quantity.ParseLength("1 " + text)
	if err != nil || unit.String() != "1 "+strings.TrimSpace(text) {
		f.reader.fail(n.ValueOffset(), fmt.Sprintf("unit is %q, expected a unit of length", text), "write one of nm, µm, mm, cm, m, km or in")
		unit = quantity.Millimetres(1)
	}
	f.reader.unit = unit
}

func (f *File) limit(n source.Node, o Options) {
	text := ""
	if f.reader.text(n, &text); text == "" {
		return
	}
	m, err := quantity.ParseMPE(text)
	if err != nil {
		f.reader.quantity(n, "mpe", err)
	}
	if o.MPE.IsZero() {
		f.Task.MPE = m
	}
}

// chain reads the order, or the word that says how to find it.
func (f *File) chain(n source.Node) {
	if n.Kind() == source.String {
		f.reader.text(n, &f.ChainBy)
		if f.ChainBy != "" && f.ChainBy != Nearest && f.ChainBy != Around {
			f.reader.fail(n.ValueOffset(), fmt.Sprintf("chain is %q, expected a list of volumes, %q or %q", f.ChainBy, Nearest, Around), "")
		}
		return
	}
	f.Chain = []string{}
	f.reader.list(n, &f.Chain)
}

func (f *File) volume(n source.Node) {
	v, r := route.Volume{}, f.reader
	r.table(n, "volume", []key{
		{"name", true, func(n source.Node) { r.text(n, &v.Name) }},
		{"at", true, func(n source.Node) { v.At = r.place(n, "at") }},
		{"radius", false, func(n source.Node) { v.RadiusMM = r.above0(n, "radius").Millimetres() }},
		{"size", false, func(n source.Node) { v.SizeMM = r.size(n, "size") }},
		{"bridge", false, func(n source.Node) { r.truth(n, &v.Bridge) }},
	})
	f.Task.Volumes = append(f.Task.Volumes, v)
}

// part lays volumes over a box, or over the points of a mesh or cloud.
func (f *File) part(n source.Node, o Options) {
	var from, to space.Point
	var mesh, unit string
	l, r, before := space.Layout{}, f.reader, len(f.reader.problems)
	_, meshed := n.Child("mesh")
	r.table(n, "part", []key{
		{"from", !meshed, func(n source.Node) { from = r.place(n, "from") }},
		{"to", !meshed, func(n source.Node) { to = r.place(n, "to") }},
		{"mesh", false, func(n source.Node) { r.text(n, &mesh) }},
		{"mesh-unit", false, func(n source.Node) { r.text(n, &unit) }},
		{"volume", true, func(n source.Node) { l.Size = r.size(n, "volume") }},
		{"overlap", true, func(n source.Node) { l.Overlap = r.from0(n, "overlap").Millimetres() }},
	})
	for _, key := range []string{"from", "to"} {
		if corner, is := n.Child(key); is && meshed {
			r.fail(corner.KeyOffset(), "part has mesh and "+key+", expected the box or the mesh", "leave one of them out")
		}
	}
	if len(r.problems) > before {
		return
	}
	var cells []space.Cell
	var err error
	switch {
	case !meshed:
		least, most := corners(from, to)
		cells, err = l.Over(least, most)
	case o.Points == nil:
		err = errors.New("a mesh cannot be read here")
	default:
		var points []space.Point
		if points, err = o.Points(mesh, unit); err == nil {
			cells, err = l.OverPoints(points)
		}
	}
	if err != nil {
		r.fail(n.ValueOffset(), "part: "+err.Error(), "")
		return
	}
	volumes, joins := route.Laid(cells, l.Size, f.Task.Obstacles)
	f.Task.Volumes, f.Task.Joins = append(f.Task.Volumes, volumes...), append(f.Task.Joins, joins...)
}

// corners sorts two opposite corners of a box.
func corners(a, b space.Point) (least, most space.Point) {
	for i := range a {
		least[i], most[i] = min(a[i], b[i]), max(a[i], b[i])
	}
	return least, most
}

func (f *File) joinOf(n source.Node) {
	j, r := route.Join{LengthMM: straight}, f.reader
	r.table(n, "join", []key{
		{"from", true, func(n source.Node) { r.text(n, &j.From) }},
		{"to", true, func(n source.Node) { r.text(n, &j.To) }},
		{"length", false, func(n source.Node) { j.LengthMM = r.from0(n, "length").Millimetres() }},
	})
	f.Task.Joins = append(f.Task.Joins, j)
}
