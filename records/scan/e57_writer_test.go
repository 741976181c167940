package scan_test

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"math"
	"math/bits"
	"strings"
)

// e57Draft writes E57 files for tests, good ones and others. It packs bit by bit and shares nothing with the reader.
type e57Draft struct {
	scans []e57DraftScan
	xml   string // in place of that of the scans
	root  string // further elements of the root
	patch func(logical []byte)
}

// e57DraftScan is a scan to be written.
type e57DraftScan struct {
	fields  []e57DraftField
	records int
	claim   int    // recordCount less records
	pose    string // the element, or nothing
	extra   string // further elements, before the points
	codecs  string

	// chunk says how many bytes of a stream go into a packet, given how many are left; nil: as many as fit.
	chunk func(packet, stream, left int) int
	// between is put before a packet.
	between func(packet int) []byte
}

// e57DraftField is a field with its stored values.
type e57DraftField struct {
	definition string // the element
	width      int
	stored     []uint64
}

func integerField(name string, minimum, maximum int64, stored []uint64) e57DraftField {
	return e57DraftField{
		fmt.Sprintf(`<%s type="Integer" minimum="%d" maximum="%d"/>`, name, minimum, maximum),
		bits.Len64(uint64(maximum) - uint64(minimum)), stored,
	}
}

func scaledField(name string, minimum, maximum int64, scale, offset float64, stored []uint64) e57DraftField {
	return e57DraftField{
		fmt.Sprintf(`<%s type="ScaledInteger" minimum="%d" maximum="%d" scale="%.17e" offset="%.17e"/>`, name, minimum, maximum, scale, offset),
		bits.Len64(uint64(maximum) - uint64(minimum)), stored,
	}
}

func doubleField(name string, values ...float64) e57DraftField {
	f := e57DraftField{definition: fmt.Sprintf(`<%s type="Float"/>`, name), width: 64}
	for _, v := range values {
		f.stored = append(f.stored, math.Float64bits(v))
	}
	return f
}

func singleField(name string, values ...float32) e57DraftField {
	f := e57DraftField{definition: fmt.Sprintf(`<%s type="Float" precision="single"/>`, name), width: 32}
	for _, v := range values {
		f.stored = append(f.stored, uint64(math.Float32bits(v)))
	}
	return f
}

// stream packs the values, the least significant bit first.
func (f *e57DraftField) stream() []byte {
	b := make([]byte, (len(f.stored)*f.width+7)/8)
	for i, v := range f.stored {
		for bit := range f.width {
			if at := i*f.width + bit; v>>bit&1 == 1 {
				b[at/8] |= 1 << (at % 8)
			}
		}
	}
	return b
}

// draftPhysical is where a byte of the content lies in the file.
func draftPhysical(logical int) int { return logical + 4*(logical/1020) }

// bytes writes the file.
func (d *e57Draft) bytes() []byte {
	b := append([]byte(nil), make([]byte, 48)...)
	var offsets []int
	for i := range d.scans {
		for len(b)%4 != 0 {
			b = append(b, 0)
		}
		offsets = append(offsets, draftPhysical(len(b)))
		b = d.scans[i].section(b)
	}
	at := len(b)
	text := d.xml
	if text == "" {
		text = d.description(offsets)
	}
	b = append(b, text...)
	length := len(b)
	for len(b)%1020 != 0 {
		b = append(b, 0)
	}
	copy(b, "ASTM-E57")
	binary.LittleEndian.PutUint32(b[8:], 1)
	binary.LittleEndian.PutUint64(b[16:], uint64(len(b)/1020*1024))
	binary.LittleEndian.PutUint64(b[24:], uint64(draftPhysical(at)))
	binary.LittleEndian.PutUint64(b[32:], uint64(length-at))
	binary.LittleEndian.PutUint64(b[40:], 1024)
	if d.patch != nil {
		d.patch(b)
	}
	return paged(b)
}

// paged adds the checksums.
func paged(logical []byte) []byte {
	var file []byte
	for ; len(logical) > 0; logical = logical[1020:] {
		file = append(file, logical[:1020]...)
		file = binary.BigEndian.AppendUint32(file, crc32.Checksum(logical[:1020], crc32.MakeTable(crc32.Castagnoli)))
	}
	return file
}

func (d *e57Draft) description(offsets []int) string {
	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<e57Root type=\"Structure\" xmlns=\"http://www.astm.org/COMMIT/E57/2010-e57-v1.0\" xmlns:ext=\"http://example.org/ext\">\n" + d.root + `<data3D type="Vector" allowHeterogeneousChildren="1">`)
	for i, s := range d.scans {
		fmt.Fprintf(&b, "<vectorChild type=\"Structure\">%s%s\n<points type=\"CompressedVector\" fileOffset=\"%d\" recordCount=\"%d\"><prototype type=\"Structure\">",
			s.extra, s.pose, offsets[i], s.records+s.claim)
		for _, f := range s.fields {
			b.WriteString(f.definition)
		}
		b.WriteString("</prototype><codecs type=\"Vector\" allowHeterogeneousChildren=\"1\">" + s.codecs + "</codecs></points></vectorChild>")
	}
	b.WriteString("</data3D></e57Root>")
	return b.String()
}

// section appends the binary section of the scan.
func (s *e57DraftScan) section(b []byte) []byte {
	start := len(b)
	b = append(b, make([]byte, 32)...)
	data := len(b)
	streams := make([][]byte, len(s.fields))
	for i := range s.fields {
		streams[i] = s.fields[i].stream()
	}
	for packet := 0; ; packet++ {
		if s.between != nil {
			b = append(b, s.between(packet)...)
		}
		left := 0
		for _, stream := range streams {
			left += len(stream)
		}
		if left == 0 {
			break
		}
		b = append(b, s.packet(packet, streams)...)
	}
	b[start] = 1
	binary.LittleEndian.PutUint64(b[start+8:], uint64(len(b)-start))
	binary.LittleEndian.PutUint64(b[start+16:], uint64(draftPhysical(data)))
	return b
}

// packet writes what goes into one, and takes it off the streams.
func (s *e57DraftScan) packet(number int, streams [][]byte) []byte {
	header := []byte{1, 0, 0, 0}
	header = binary.LittleEndian.AppendUint16(header, uint16(len(streams)))
	var data []byte
	room := 65536 - 6 - 2*len(streams) - 3
	for i := range streams {
		n := min(len(streams[i]), room/(len(streams)-i))
		if s.chunk != nil {
			n = min(n, s.chunk(number, i, len(streams[i])))
		}
		header = binary.LittleEndian.AppendUint16(header, uint16(n))
		data = append(data, streams[i][:n]...)
		streams[i] = streams[i][n:]
		room -= n
	}
	b := append(header, data...)
	for len(b)%4 != 0 {
		b = append(b, 0)
	}
	binary.LittleEndian.PutUint16(b[2:], uint16(len(b)-1))
	return b
}
