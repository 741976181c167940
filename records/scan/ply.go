package scan

import "context"

// openPLY reads the header of a PLY file (Greg Turk, The PLY Polygon File Format, 1994; types int8 to float64 as later
// libraries write them).
func openPLY(in *input) (Head, blockReader, error) {
	h, err := readPLYHeader(in)
	if err != nil {
		return Head{}, nil, err
	}
	v := &h.elements[h.vertex]
	head := Head{Format: "PLY, " + h.form, Declared: v.count}
	for i := range h.elements {
		if h.elements[i].name == "face" && h.elements[i].count > 0 {
			head.Mesh = true
		}
	}
	if h.ascii() {
		return head, &plyText{h}, nil
	}
	at := h.coordinates()
	head.Single = at.single()
	if _, fixed := v.size(); fixed && !in.packed {
		return head, &plyBlocks{h}, nil
	}
	return head, &sequential{in: in, decode: h.decodeBinary}, nil
}

// plyBlocks reads the vertices of a binary file by offset and walks over the other elements.
type plyBlocks struct{ *plyHeader }

func (p *plyBlocks) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	m := how.meter(p.in)
	m.add(p.data)
	w := &plyWalk{plyHeader: p.plyHeader}
	before, err := w.passAll(ctx, m, p.elements[:p.vertex], p.data)
	if err != nil {
		return Tally{}, err
	}
	v, l := &p.elements[p.vertex], p.coordinates()
	if there := (p.in.size - before) / int64(l.stride); there < v.count {
		return Tally{}, p.short(v, p.in.size, there)
	}
	s := fixedStride{in: p.in, noun: "vertex", start: before, count: v.count, layout: l}
	f, err := s.find(ctx, how, m, visit)
	if err != nil {
		return Tally{}, err
	}
	end, err := w.passAll(ctx, m, p.elements[p.vertex+1:], before+v.count*int64(l.stride))
	if err != nil {
		return Tally{}, err
	}
	warnings, err := p.leftOver(end, p.in.size-end)
	if err != nil {
		return Tally{}, err
	}
	m.add(p.in.size - end)
	f.facets = w.facets
	t, err := f.tally(p.in, "vertex", warnings...)
	t.Step = l.step(f.peak)
	return t, err
}

// decodeBinary walks over the whole of a binary file.
func (h *plyHeader) decodeBinary(ctx context.Context, m *meter, out *filler) (Tally, error) {
	src, err := h.in.stream(ctx, h.data, m)
	if err != nil {
		return Tally{}, err
	}
	w := &plyWalk{plyHeader: h, feed: newFeed(src, h.data)}
	l := h.coordinates()
	out.checkFirst = func(xyz []float64) error { return h.in.checkOrder(xyz, &l, h.data) }
	for i := range h.elements {
		if e := &h.elements[i]; i == h.vertex {
			err = w.vertices(e, out)
		} else {
			err = w.pass(e)
		}
		if err != nil {
			return Tally{}, err
		}
	}
	out.facets = w.facets
	end := w.offset
	left, err := w.rest()
	if err != nil {
		return Tally{}, err
	}
	warnings, err := h.leftOver(end, left)
	if err != nil {
		return Tally{}, err
	}
	t, err := out.tally(h.in, "vertex", warnings...)
	t.Step = l.step(out.peak)
	return t, err
}
