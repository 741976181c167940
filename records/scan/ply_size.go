package scan

import "math/bits"

// complete looks whether the header has what is needed, and whether a binary file is as long as the header says.
func (h *plyHeader) complete() error {
	fault := func(mend, format string, args ...any) error {
		return h.in.fault(lineAt(h.data, h.lines), mend, format, args...)
	}
	switch {
	case h.form == "":
		return fault("", "the header does not state the format")
	case h.vertex < 0:
		return fault("save the scan as points", "the header has no element vertex")
	}
	v := &h.elements[h.vertex]
	for _, axis := range []string{"x", "y", "z"} {
		switch n := v.find(axis); {
		case n < 0:
			return h.in.fault(v.at, "save the scan with its coordinates", "the element vertex has no property %s", axis)
		case v.properties[n].list:
			return h.in.fault(v.at, "", "the property %s of the vertices is a list", axis)
		case v.repeated(n):
			return h.in.fault(v.at, "", "the element vertex has more than one property %s", axis)
		}
	}
	if v.count == 0 {
		return h.in.empty("vertex")
	}
	if h.ascii() || h.in.size < 0 {
		return nil
	}
	return h.fits()
}

// fits compares the counts with the size of the file, as far as records have a constant length. Behind the first lists
// nothing is known before they are walked over, for which nothing has to be allocated either.
func (h *plyHeader) fits() error {
	offset := h.data
	for i := range h.elements {
		e := &h.elements[i]
		n, fixed := e.size()
		if !fixed {
			return nil
		}
		over, bytes := bits.Mul64(uint64(e.count), uint64(n))
		left := h.in.size - offset
		if over != 0 || bytes > uint64(left) {
			return h.short(e, h.in.size, left/n)
		}
		offset += int64(bytes)
	}
	_, err := h.leftOver(offset, h.in.size-offset)
	return err
}

// short tells of an element with fewer records than announced, in content that ends at an offset.
func (h *plyHeader) short(e *plyElement, end, there int64) error {
	return h.in.fault(byteAt(end), "the file is cut, or its header states a wrong count", "%s announced, data for %d", e.counted(), there)
}

// counted says how many records the element should have.
func (e *plyElement) counted() string {
	if e.name == "vertex" {
		return counted(e.count, "vertex")
	}
	return counted(e.count, "record") + " of element " + e.name
}

// leftOver judges n bytes at an offset behind the last element. A vertex' worth of them contradicts the header; fewer may be a line end
// or padding and are worth a warning.
func (h *plyHeader) leftOver(offset, n int64) (warnings []string, err error) {
	if n == 0 {
		return nil, nil
	}
	v := &h.elements[h.vertex]
	stride, fixed := v.size()
	switch at := byteAt(offset); {
	case n < stride:
		return []string{counted(n, "byte") + " behind the last element of the header belong to nothing it describes and were not read."}, nil
	case fixed && n%v.count == 0:
		return nil, h.in.fault(at, "its writer stated wrong types, as float for what it stored as double, or a wrong count: save the scan with another program or in another format",
			"%s left over behind the last element: the header says %d bytes a vertex, the size of the file would fit %d", counted(n, "byte"), stride, stride+n/v.count)
	default:
		return nil, h.in.fault(at, "the header states too few records or wrong types: save the scan again", "%s left over behind the last element", counted(n, "byte"))
	}
}

// size returns the bytes of a record, or the least there can be if it has lists.
func (e *plyElement) size() (bytes int64, fixed bool) {
	fixed = true
	for _, p := range e.properties {
		if p.list {
			bytes += int64(p.length.size())
			fixed = false
		} else {
			bytes += int64(p.kind.size())
		}
	}
	return bytes, fixed
}

// find returns the number of the property with a name, or -1.
func (e *plyElement) find(name string) int {
	for i := range e.properties {
		if e.properties[i].name == name {
			return i
		}
	}
	return -1
}

// repeated tells whether a later property has the same name.
func (e *plyElement) repeated(n int) bool {
	for _, p := range e.properties[n+1:] {
		if p.name == e.properties[n].name {
			return true
		}
	}
	return false
}

// coordinates returns where x, y and z stand in a vertex without lists.
func (h *plyHeader) coordinates() layout {
	v := &h.elements[h.vertex]
	l := layout{big: h.big()}
	axes := [3]int{v.find("x"), v.find("y"), v.find("z")}
	for i, p := range v.properties {
		for axis, at := range axes {
			if at == i {
				l.xyz[axis] = column{offset: l.stride, kind: p.kind}
			}
		}
		l.stride += p.kind.size()
	}
	return l
}
