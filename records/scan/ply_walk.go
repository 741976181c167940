package scan

import (
	"context"
	"math"
	"math/bits"
)

// plyWalk passes over the elements of a binary file in their order.
type plyWalk struct {
	*plyHeader
	*feed
	facets int64
}

// passAll passes over elements that begin at an offset of a file that can be read by offset, and returns where they end.
func (w *plyWalk) passAll(ctx context.Context, m *meter, elements []plyElement, offset int64) (end int64, err error) {
	for i := range elements {
		e := &elements[i]
		if n, fixed := e.size(); fixed {
			over, bytes := bits.Mul64(uint64(e.count), uint64(n))
			if left := w.in.size - offset; over != 0 || bytes > uint64(left) {
				return 0, w.short(e, w.in.size, left/n)
			}
			offset += int64(bytes)
			m.add(int64(bytes))
			w.note(e)
			continue
		}
		if w.feed == nil {
			w.feed = newFeed(nil, 0)
		}
		w.reset(&plain{ctx: ctx, in: w.in, offset: offset, meter: m}, offset)
		if err := w.pass(e); err != nil {
			return 0, err
		}
		offset = w.offset
	}
	return offset, nil
}

// pass passes over the records of one element.
func (w *plyWalk) pass(e *plyElement) error {
	w.note(e)
	n, fixed := e.size()
	if fixed {
		over, bytes := bits.Mul64(uint64(e.count), uint64(n))
		if over != 0 || bytes > math.MaxInt64 {
			bytes = math.MaxInt64 // no content is that long
		}
		there, err := w.skip(int64(bytes))
		if err == nil && there < int64(bytes) {
			err = w.short(e, w.offset, there/n)
		}
		return err
	}
	for record := int64(0); record < e.count; {
		b, err := w.look(chunkBytes / 16)
		if err != nil {
			return err
		}
		records, bytes := e.whole(b, e.count-record, w.big())
		w.take(bytes)
		record += records
		if records == 0 {
			if err := w.record(e, record, nil); err != nil {
				return err
			}
			record++
		}
	}
	return nil
}

// note counts the facets.
func (w *plyWalk) note(e *plyElement) {
	if e.name == "face" {
		w.facets += e.count
	}
}

// whole returns how many records, at most a limit, lie as a whole at the start of b, and how long they are.
func (e *plyElement) whole(b []byte, limit int64, big bool) (records int64, bytes int) {
	if p := &e.properties[0]; len(e.properties) == 1 && p.length == uint8Kind { // as nearly all facets are written
		size := p.kind.size()
		for records < limit && bytes < len(b) {
			end := bytes + 1 + int(b[bytes])*size
			if end > len(b) {
				break
			}
			bytes = end
			records++
		}
		return records, bytes
	}
	for records < limit {
		end := bytes
		for i := range e.properties {
			p := &e.properties[i]
			if !p.list {
				end += p.kind.size()
				continue
			}
			values := end + p.length.size()
			if values > len(b) {
				return records, bytes
			}
			n := p.length.integer(b[end:], big)
			if n < 0 || n > int64(len(b)) {
				return records, bytes
			}
			end = values + int(n)*p.kind.size()
		}
		if end > len(b) {
			break
		}
		bytes = end
		records++
	}
	return records, bytes
}

// record walks over one record, property by property, and keeps the coordinates that stand at given properties.
func (w *plyWalk) record(e *plyElement, record int64, keep *plyKept) error {
	for i := range e.properties {
		p := &e.properties[i]
		first := p.kind
		if p.list {
			first = p.length
		}
		b, err := w.look(first.size())
		if err != nil {
			return err
		}
		if len(b) < first.size() {
			return w.short(e, w.offset+int64(len(b)), record)
		}
		if p.list {
			if err := w.list(e, p, record, b); err != nil {
				return err
			}
			continue
		}
		if keep != nil {
			for axis := range keep.at {
				if keep.at[axis] == i {
					keep.xyz[axis] = p.kind.number(b, w.big())
				}
			}
		}
		w.take(first.size())
	}
	return nil
}

// plyKept are the coordinates of a vertex and the properties they are.
type plyKept struct {
	at  [3]int
	xyz [3]float64
}

// list passes over a list, whose length begins b.
func (w *plyWalk) list(e *plyElement, p *plyProperty, record int64, b []byte) error {
	at := byteAt(w.offset)
	n := p.length.integer(b, w.big())
	who := e.name + " record"
	if e.name == "vertex" || e.name == "face" {
		who = e.name
	}
	if n < 0 {
		return w.in.fault(at, "the file is damaged", "%s %d, counted from 0, has a list %s of %d values", who, record, p.name, n)
	}
	w.take(p.length.size())
	bytes := n * int64(p.kind.size()) // lengths have 32 bits at most
	there, err := w.skip(bytes)
	if err != nil {
		return err
	}
	if there < bytes {
		return w.in.fault(at, "the file is cut or damaged", "%s %d, counted from 0, has a list %s of %d values, but the file ends first", who, record, p.name, n)
	}
	return nil
}

// vertices gives the vertices to the filler.
func (w *plyWalk) vertices(e *plyElement, out *filler) error {
	l := w.coordinates()
	if _, fixed := e.size(); !fixed || l.stride > chunkBytes {
		kept := plyKept{at: [3]int{e.find("x"), e.find("y"), e.find("z")}}
		for record := range e.count {
			if err := w.record(e, record, &kept); err != nil {
				return err
			}
			if err := out.point(kept.xyz[0], kept.xyz[1], kept.xyz[2]); err != nil {
				return err
			}
		}
		return nil
	}
	for record := int64(0); record < e.count; {
		b, err := w.look(l.stride)
		if err != nil {
			return err
		}
		if len(b) < l.stride {
			return w.short(e, w.offset+int64(len(b)), record)
		}
		for len(b) >= l.stride && record < e.count {
			x, y, z := l.xyz[0].of(b, l.big), l.xyz[1].of(b, l.big), l.xyz[2].of(b, l.big)
			if err := out.point(x, y, z); err != nil {
				return err
			}
			b = b[l.stride:]
			w.take(l.stride)
			record++
		}
	}
	return nil
}
