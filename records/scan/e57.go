package scan

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

const e57Mark = "ASTM-E57"

func looksE57(start []byte) bool { return bytes.HasPrefix(start, []byte(e57Mark)) }

// openE57 reads the header and the description of an E57 file (ASTM E2807): where the points of its scans lie and how they
// are stored. Several scans are one cloud in the frame their poses refer to; the unit is the metre.
func openE57(in *input) (Head, blockReader, error) {
	if in.packed {
		size, err := in.measure(context.Background())
		if err != nil {
			return Head{}, nil, err
		}
		known := *in
		known.size = size
		in = &known
	}
	e := &e57{in: in}
	pages, length, err := e.header()
	if err != nil {
		return Head{}, nil, err
	}
	if e.scans, err = in.readE57XML(pages, length); err != nil {
		return Head{}, nil, err
	}
	head := Head{Format: "E57", Unit: "m", Single: true}
	for i := range e.scans {
		s := &e.scans[i]
		section, err := s.readSection(pages)
		if err != nil {
			return Head{}, nil, err
		}
		e.sections = append(e.sections, section)
		head.Declared += s.records
		head.Single = head.Single && (s.single() || s.records == 0)
	}
	if head.Declared == 0 {
		return Head{}, nil, in.empty("point")
	}
	if err := e.disjoint(); err != nil {
		return Head{}, nil, err
	}
	if len(e.scans) > 1 {
		head.Format = fmt.Sprintf("E57, %d scans", len(e.scans))
	}
	return head, &sequential{in: in, decode: e.decode}, nil
}

// e57 is an opened file.
type e57 struct {
	in       *input
	scans    []e57Scan
	sections []e57Section // by scan
}

// header reads the 48 bytes that begin the file, and moves to its description, whose length it returns.
func (e *e57) header() (pages *e57Pages, length int64, err error) {
	in := e.in
	if in.size < e57Page {
		return nil, 0, in.fault(byteAt(in.size), "copy the file again", "the file ends within its first page, of %d bytes", e57Page)
	}
	pages = in.e57Pages(context.Background(), nil)
	if err := pages.moveTo(0); err != nil {
		return nil, 0, err
	}
	var b [48]byte
	if err := pages.full(b[:]); err != nil {
		return nil, 0, err
	}
	major, minor := binary.LittleEndian.Uint32(b[8:]), binary.LittleEndian.Uint32(b[12:])
	size, at := binary.LittleEndian.Uint64(b[16:]), binary.LittleEndian.Uint64(b[24:])
	bytes, page := binary.LittleEndian.Uint64(b[32:]), binary.LittleEndian.Uint64(b[40:])
	switch {
	case major != 1:
		err = in.fault(byteAt(8), mendE57, "the file is of version %d.%d, only 1.0 is known", major, minor)
	case page != e57Page:
		err = in.fault(byteAt(40), mendE57, "the header states pages of %d bytes, not %d", page, e57Page)
	case size != uint64(in.size):
		err = in.fault(byteAt(16), "copy the file again: it is cut or something was added", "the header states a length of %d bytes, the file has %d", size, in.size)
	case at >= size || at%e57Page >= e57Payload:
		err = in.fault(byteAt(24), mendE57, "the XML section would begin at byte %d, which is no place in the content of a page", at)
	case bytes > uint64(e57Logical(in.size)-e57Logical(int64(at))):
		err = in.fault(byteAt(32), mendE57, "the XML section states a length of %d bytes, the file has %d more", bytes, e57Logical(in.size)-e57Logical(int64(at)))
	case bytes > maxE57XML:
		err = in.fault(byteAt(32), "export the scan without pictures and other additions", "the XML section has %d bytes, more than the %d that are read", bytes, maxE57XML)
	}
	if err != nil {
		return nil, 0, err
	}
	return pages, int64(bytes), pages.moveTo(e57Logical(int64(at)))
}

// disjoint refuses scans that share bytes, by which a small file could announce any number of points.
func (e *e57) disjoint() error {
	order := make([]int, len(e.scans))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(e.scans[a].section, e.scans[b].section) })
	for i := 1; i < len(order); i++ {
		a, b := order[i-1], order[i]
		if e.sections[a].end > e.scans[b].section {
			return e.in.fault(byteAt(e57Physical(e.scans[b].section)), mendE57, "the sections of the points of scans %d and %d overlap", e.scans[a].number, e.scans[b].number)
		}
	}
	return nil
}

// decode gives the points of all scans, one scan after the other in the order of the description.
func (e *e57) decode(ctx context.Context, m *meter, out *filler) (Tally, error) {
	pages := e.in.e57Pages(ctx, m)
	step, single := 0.0, false
	var unposed []int
	for i := range e.scans {
		s := &e.scans[i]
		if err := e.decodeScan(s, e.sections[i], pages, out); err != nil {
			return Tally{}, err
		}
		if s.records == 0 {
			continue
		}
		step, single = max(step, s.step()), single || s.single()
		if !s.posed {
			unposed = append(unposed, s.number)
		}
	}
	if err := out.flush(); err != nil {
		return Tally{}, err
	}
	var warnings []string
	if len(unposed) > 0 && len(e.scans) > 1 {
		warnings = append(warnings, fmt.Sprintf("%s of %d without a pose, counted from 0 from scan %d on, taken to lie in the frame of the file.",
			counted(int64(len(unposed)), "scan"), len(e.scans), unposed[0]))
	}
	t, err := out.tally(e.in, "point", warnings...)
	if single {
		step = max(step, singleStep(out.peak))
	}
	t.Step = step
	return t, err
}

// e57Run is how many records are decoded at a time.
const e57Run = 2048

// decodeScan gives the points of one scan.
func (e *e57) decodeScan(s *e57Scan, section e57Section, pages *e57Pages, out *filler) error {
	if err := pages.moveTo(section.data); err != nil {
		return err
	}
	p := e57Packets{
		e57Scan: s, pages: pages, section: section,
		buf: make([]byte, 1<<16), bytes: make([]int64, len(s.widths)), queues: make([]*bitQueue, len(s.widths)),
	}
	u := e57Unpacker{e57Scan: s, motion: s.pose.motion(), out: out}
	for i, c := range s.read {
		u.queues = append(u.queues, &bitQueue{coding: c})
		p.queues[c.stream] = u.queues[i]
	}
	for {
		more, err := p.next()
		if err != nil {
			return err
		}
		if !more {
			break
		}
		if err := u.unpack(e.in); err != nil {
			return err
		}
	}
	return p.complete()
}

// e57Unpacker makes points of the streams of a scan.
type e57Unpacker struct {
	*e57Scan
	motion motion
	out    *filler
	queues []*bitQueue // by field that is read
	done   int64       // records
	values [4][e57Run]float64
}

// unpack gives the records that have come whole.
func (u *e57Unpacker) unpack(in *input) error {
	for {
		n := int(min(e57Run, u.records-u.done))
		for _, q := range u.queues {
			n = q.ready(n)
		}
		if n == 0 {
			return nil
		}
		for i, q := range u.queues {
			if beyond := q.decode(u.values[i][:n]); beyond >= 0 {
				return in.fault(byteAt(e57Physical(u.section)), mendE57, "record %d of scan %d has a %s above the maximum that the description states",
					u.done+int64(beyond), u.number, q.coding.name)
			}
		}
		if err := u.give(n); err != nil {
			return err
		}
		u.done += int64(n)
	}
}

// give hands n records on, those marked invalid only to be counted.
func (u *e57Unpacker) give(n int) error {
	marked := len(u.queues) > 3
	for i := range n {
		if marked && u.values[3][i] != 0 {
			if err := u.out.mark(); err != nil {
				return err
			}
			continue
		}
		x, y, z := u.values[0][i], u.values[1][i], u.values[2][i]
		if u.polar {
			x, y, z = fromSpherical(x, y, z)
		}
		if err := u.out.point(u.motion.apply(x, y, z)); err != nil {
			return err
		}
	}
	return nil
}

// fromSpherical turns range, azimuth from x to y, and elevation from the xy plane to z, in radian, into coordinates.
func fromSpherical(r, azimuth, elevation float64) (x, y, z float64) {
	sinA, cosA := math.Sincos(azimuth)
	sinE, cosE := math.Sincos(elevation)
	return r * cosE * cosA, r * cosE * sinA, r * sinE
}
