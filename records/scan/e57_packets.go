package scan

import (
	"encoding/binary"
	"fmt"
	"strconv"
)

const (
	e57SectionHeader = 32
	e57PacketHeader  = 4 // type, flags, length - 1
	e57DataHeader    = e57PacketHeader + 2

	// e57Ahead is how many bytes may wait for those of another stream. Writers fill a packet of at most 64 KiB with about
	// the same number of records of each stream.
	e57Ahead = 4 << 20
)

// e57Section is the binary section of a scan: where it ends and where its packets begin, as logical offsets.
type e57Section struct{ data, end int64 }

// readSection reads the header of a scan's binary section and compares it with the size of the file.
func (s *e57Scan) readSection(pages *e57Pages) (e57Section, error) {
	in, at := pages.in, s.section
	fault := func(format string, args ...any) error {
		return in.fault(byteAt(e57Physical(at)), mendE57, format, args...)
	}
	if size := e57Logical(in.size); at+e57SectionHeader > size {
		return e57Section{}, fault("the section of the points of scan %d would begin behind the end of the file", s.number)
	}
	if err := pages.moveTo(at); err != nil {
		return e57Section{}, err
	}
	var b [e57SectionHeader]byte
	if err := pages.full(b[:]); err != nil {
		return e57Section{}, err
	}
	if b[0] != 1 {
		return e57Section{}, fault("the section of the points of scan %d begins with section id %d, not 1", s.number, b[0])
	}
	length := binary.LittleEndian.Uint64(b[8:])
	if length < e57SectionHeader || length > uint64(e57Logical(in.size)-at) {
		return e57Section{}, fault("the section of the points of scan %d states a length of %d bytes, the file has %d more", s.number, length, e57Logical(in.size)-at)
	}
	end := at + int64(length)
	physical := binary.LittleEndian.Uint64(b[16:])
	if physical > uint64(in.size) || physical%e57Page >= e57Payload {
		return e57Section{}, fault("the packets of scan %d would begin at byte %d, which is not in its section", s.number, physical)
	}
	data := e57Logical(int64(physical))
	if data < at+e57SectionHeader || data > end {
		return e57Section{}, fault("the packets of scan %d would begin at byte %d, which is not in its section", s.number, physical)
	}
	if s.records == 0 {
		return e57Section{data, end}, nil
	}
	return e57Section{data, end}, s.plausible(in, end-data)
}

// plausible compares the number of records with the bytes there are for them.
func (s *e57Scan) plausible(in *input, bytes int64) error {
	bits := s.bits()
	if bits == 0 {
		return in.fault(byteAt(e57Physical(s.section)), mendE57, "scan %d announces %s, but no field has bits to back it", s.number, counted(s.records, "record"))
	}
	if most := 8 * bytes / bits; s.records > most {
		return in.fault(byteAt(e57Physical(s.section)), "the file is cut, or its recordCount is wrong: "+mendE57,
			"scan %d announces %s, its section holds %d at most", s.number, counted(s.records, "record"), most)
	}
	return nil
}

// e57Packets reads the packets of one section and sorts their bytes by stream.
type e57Packets struct {
	*e57Scan
	pages   *e57Pages
	section e57Section
	buf     []byte
	bytes   []int64     // that came of each stream
	queues  []*bitQueue // by stream; nil for those that are not read
}

// next reads packets until one brought data; false: there is none left.
func (p *e57Packets) next() (more bool, err error) {
	for p.section.end-p.pages.logical >= e57PacketHeader {
		at := p.pages.physical()
		fault := func(format string, args ...any) error {
			return p.pages.in.fault(byteAt(at), mendE57, format, args...)
		}
		b := p.buf[:e57PacketHeader]
		left := p.section.end - p.pages.logical
		if err := p.pages.full(b); err != nil {
			return false, err
		}
		length := int(binary.LittleEndian.Uint16(b[2:])) + 1
		switch {
		case b[0] > 2:
			return false, fault("a packet is of type %d, which is none of 0, 1 and 2", b[0])
		case length < e57PacketHeader || int64(length) > left:
			return false, fault("a packet states a length of %d bytes, its section has %d more", length, left)
		case b[0] != 1: // an index or a gap
			if err := p.pages.discard(int64(length - e57PacketHeader)); err != nil {
				return false, err
			}
			continue
		}
		if err := p.pages.full(p.buf[e57PacketHeader:length]); err != nil {
			return false, err
		}
		return true, p.sort(p.buf[:length], fault)
	}
	return false, nil
}

// sort hands the bytes of a data packet to their streams.
func (p *e57Packets) sort(b []byte, fault func(format string, args ...any) error) error {
	if len(b) < e57DataHeader {
		return fault("a data packet of %d bytes has no room for its header", len(b))
	}
	streams := int(binary.LittleEndian.Uint16(b[e57PacketHeader:]))
	if streams == 0 && p.records == 0 {
		return nil // as a library writes it of an empty scan
	}
	if streams != len(p.widths) {
		return fault("a data packet has %d streams, the description of scan %d has %d fields", streams, p.number, len(p.widths))
	}
	if len(b) < e57DataHeader+2*streams {
		return fault("a data packet of %d bytes has no room for the lengths of its %d streams", len(b), streams)
	}
	lengths, data := b[e57DataHeader:], b[e57DataHeader+2*streams:]
	for i := range streams {
		n := int(binary.LittleEndian.Uint16(lengths[2*i:]))
		if n > len(data) {
			return fault("stream %d of a data packet states a length of %d bytes, the packet has %d more", i, n, len(data))
		}
		p.bytes[i] += int64(n)
		if q := p.queues[i]; q != nil {
			q.add(data[:n])
			if len(q.buf) > e57Ahead {
				return fault("the stream of %s is %d bytes ahead of others, more than is kept in memory", q.coding.name, len(q.buf))
			}
		}
		data = data[n:]
	}
	return nil
}

// complete holds the bytes of every stream against the number of records, all of which are decoded. Writers may fill the
// last bytes up to whole words by zeros.
func (p *e57Packets) complete() error {
	const fill = 7
	for i, w := range p.widths {
		if w == varying {
			continue
		}
		need := (p.records*int64(w) + 7) / 8
		q := p.queues[i]
		if p.bytes[i] >= need && p.bytes[i] <= need+fill && (q == nil || q.spent()) {
			continue
		}
		found := fmt.Sprintf("%s of a constant", counted(p.bytes[i], "byte"))
		if w > 0 {
			found = strconv.FormatInt(p.bytes[i]*8/int64(w), 10)
		}
		return p.pages.in.fault(byteAt(e57Physical(p.e57Scan.section)), "the file is cut, or its recordCount is wrong: "+mendE57,
			"scan %d announces %s, the packets hold %s of field %d", p.number, counted(p.records, "record"), found, i)
	}
	return nil
}
