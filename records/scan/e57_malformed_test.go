package scan_test

import (
	"encoding/binary"
	"strings"
	"testing"
)

// draftPoints is a scan of a few points on a line.
func draftPoints(n int) e57DraftScan {
	s := e57DraftScan{records: n}
	for _, name := range []string{"cartesianX", "cartesianY", "cartesianZ"} {
		var stored []uint64
		for i := range n {
			stored = append(stored, uint64(i))
		}
		s.fields = append(s.fields, scaledField(name, -100, 899, 0.001, 0, stored))
	}
	return s
}

// Offsets in the logical content of a draft with one scan: the header of the section, the first packet.
const (
	draftSection = 48
	draftPacket  = draftSection + 32
)

func TestE57Contradictions(t *testing.T) {
	t.Parallel()
	put16 := binary.LittleEndian.PutUint16
	put32 := binary.LittleEndian.PutUint32
	put64 := binary.LittleEndian.PutUint64
	for _, c := range []struct {
		name  string
		patch func(b []byte)
		words []string
	}{
		{"version", func(b []byte) { put32(b[8:], 2) }, []string{"version 2.0", "byte 8"}},
		{"page size", func(b []byte) { put64(b[40:], 512) }, []string{"pages of 512 bytes", "byte 40"}},
		{"length", func(b []byte) { put64(b[16:], 4096) }, []string{"length of 4096 bytes, the file has 1024"}},
		{"XML offset behind the end", func(b []byte) { put64(b[24:], 1<<40) }, []string{"XML section would begin at byte 1099511627776"}},
		{"XML offset in a checksum", func(b []byte) { put64(b[24:], 1021) }, []string{"XML section would begin at byte 1021"}},
		{"XML length", func(b []byte) { put64(b[32:], 1<<63) }, []string{"XML section states a length of 9223372036854775808 bytes"}},
		{"XML cut", func(b []byte) { put64(b[32:], 700) }, []string{"not well formed", "unexpected EOF"}},
		{"no XML", func(b []byte) { put64(b[32:], 0) }, []string{"no root element"}},
		{"section id", func(b []byte) { b[draftSection] = 2 }, []string{"section id 2, not 1", "byte 48"}},
		{"section length", func(b []byte) { put64(b[draftSection+8:], 1<<62) }, []string{"states a length of 4611686018427387904 bytes"}},
		{"section too short", func(b []byte) { put64(b[draftSection+8:], 31) }, []string{"states a length of 31 bytes"}},
		{"section cut", func(b []byte) { put64(b[draftSection+8:], 40) }, []string{"10 records", "holds 2 at most"}},
		{"data before the section", func(b []byte) { put64(b[draftSection+16:], 8) }, []string{"begin at byte 8,"}},
		{"data behind the file", func(b []byte) { put64(b[draftSection+16:], 1<<50) }, []string{"begin at byte 1125899906842624,"}},
		{"packet type", func(b []byte) { b[draftPacket] = 9 }, []string{"packet is of type 9", "byte 80"}},
		{"packet too long", func(b []byte) { put16(b[draftPacket+2:], 60000) }, []string{"packet states a length of 60001 bytes, its section has 52 more"}},
		{"packet too short", func(b []byte) { put16(b[draftPacket+2:], 2) }, []string{"packet states a length of 3 bytes"}},
		{"packet without streams", func(b []byte) { put16(b[draftPacket+2:], 3) }, []string{"data packet of 4 bytes has no room"}},
		{"packet without lengths", func(b []byte) { put16(b[draftPacket+2:], 7) }, []string{"no room for the lengths of its 3 streams"}},
		{"streams", func(b []byte) { put16(b[draftPacket+4:], 4) }, []string{"data packet has 4 streams, the description of scan 0 has 3 fields"}},
		{"stream length", func(b []byte) { put16(b[draftPacket+6:], 999) }, []string{"stream 0 of a data packet states a length of 999 bytes"}},
		{"a stream is short", func(b []byte) { put16(b[draftPacket+6:], 12) }, []string{"10 records", "hold 9 of field 0"}},
		{"only an ignored packet", func(b []byte) { b[draftPacket] = 2 }, []string{"10 records", "hold 0 of field 0"}},
		{"above the maximum", func(b []byte) { b[draftPacket+12], b[draftPacket+13] = 0xe8, 0x03 }, []string{"record 0 of scan 0 has a cartesianX above the maximum"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := e57Draft{scans: []e57DraftScan{draftPoints(10)}, patch: c.patch}
			wantFault(t, d.bytes(), "a.e57", c.words...)
		})
	}
}

func TestE57Descriptions(t *testing.T) {
	t.Parallel()
	good := e57Draft{scans: []e57DraftScan{draftPoints(10)}}
	mustRead(t, good.bytes(), "a.e57")
	text := good.description([]int{draftSection})
	const y = `<cartesianY type="ScaledInteger" minimum="-100" maximum="899" scale="1.00000000000000002e-03" offset="0.00000000000000000e+00"/>`
	if !strings.Contains(text, y) {
		t.Fatal(text)
	}
	pose := func(rotation string) string {
		return `<pose type="Structure"><rotation type="Structure">` + rotation + `</rotation></pose><points`
	}
	for _, c := range []struct{ old, by, words string }{
		{"e57Root", "root", "the XML section holds root where e57Root was expected"},
		{"UTF-8", "ISO-8859-1", `in "ISO-8859-1", not in UTF-8`},
		{"</data3D>", "", "not well formed"},
		{`version="1.0"`, `version="2.0"`, "not well formed"},
		{`recordCount="10"`, `recordCount="-1"`, `recordCount of scan 0 is "-1"`},
		{`recordCount="10"`, `recordCount="99999999999999999999"`, `recordCount of scan 0 is "99999999999999999999"`},
		{`recordCount="10"`, ``, `recordCount of scan 0 is ""`},
		{`recordCount="10"`, `recordCount="11"`, "11 records, the packets hold 10 of field 0"},
		{`recordCount="10"`, `recordCount="3"`, "3 records, the packets hold 10 of field 0"},
		{`recordCount="10"`, `recordCount="9"`, "9 records, the packets hold 10 of field 0"},
		{`recordCount="10"`, `recordCount="0"`, "nothing to measure"},
		{`recordCount="10"`, `recordCount="9000000000000000000"`, "holds 13 at most"},
		{`fileOffset="48"`, `fileOffset="1022"`, `fileOffset of scan 0 is "1022"`},
		{`fileOffset="48"`, `fileOffset="99996"`, "begin behind the end of the file"},
		{`fileOffset="48"`, `fileOffset="52"`, "section id"},
		{`type="CompressedVector"`, `type="Vector"`, `points of scan 0 are of type "Vector"`},
		{y, "", "no field cartesianY"},
		{y, y + y, "field cartesianY twice"},
		{y, `<cartesianY type="String"/>`, "field cartesianY is text"},
		{y, `<cartesianY type="Blob"/>`, `field "cartesianY" is of type "Blob"`},
		{y, `<cartesianY type="Float" precision="half"/>`, `precision of "cartesianY" is "half"`},
		{y, `<cartesianY type="Integer" minimum="1" maximum="0"/>`, `maximum of "cartesianY", 0, is below its minimum, 1`},
		{y, `<cartesianY type="Integer" minimum="1.5"/>`, `the minimum of "cartesianY" is "1.5"`},
		{y, `<cartesianY type="ScaledInteger" scale="0"/>`, "scale of cartesianY is 0"},
		{y, `<cartesianY type="ScaledInteger" scale="nan"/>`, `"nan" was found where a finite number`},
		{y, `<cartesianY type="ScaledInteger" offset="0x1p3"/>`, `"0x1p3" was found`},
		{y, `<cartesianY type="Integer" minimum="7" maximum="7"/>`, "13 bytes of a constant of field 1"},
		{"cartesian", "local", "neither cartesian nor spherical"},
		{"<cartesian", "<ext:cartesian", "neither cartesian nor spherical"},
		{"<points", pose(`<w>0.9</w>`), "length 0.9, which is not 1"},
		{"<points", pose(``), "length 0, which is not 1"},
		{"<points", pose(`<w>one</w>`), `"one" was found`},
		{"<points", pose(`<w>` + strings.Repeat("0", 2000) + `1</w>`), "was found"},
		{"</codecs>", `<vectorChild><zipCodec/></vectorChild></codecs>`, "packed by zipCodec"},
		{"<points", strings.Repeat("<a>", 70) + "<points", "more than 64 elements in one another"},
		{"</points>", `</points><points type="CompressedVector" fileOffset="48" recordCount="10"/>`, "two elements points"},
		{"<data3D", `<a b="` + strings.Repeat("b", 300_000) + `"/><data3D`, "a tag of more than 262144 bytes"},
		{y, strings.Repeat(`<ext:a type="Integer" minimum="0" maximum="0"/>`, 70_000), "more than 65535 fields"},
		{"<data3D", strings.Repeat("<!-- much -->", 700_000) + "<data3D", "more than the 8388608 that are read"},
		{"<data3D", `<!DOCTYPE e [<!ENTITY a "aaaaaaaaaa">]><b>&a;</b><data3D`, "not well formed"},
	} {
		t.Run(c.words, func(t *testing.T) {
			d := good
			d.xml = strings.Replace(text, c.old, c.by, 1)
			if c.old == "cartesian" || c.old == "<cartesian" || c.old == "e57Root" {
				d.xml = strings.ReplaceAll(text, c.old, c.by)
			}
			if d.xml == text {
				t.Fatalf("%s is not there", c.old)
			}
			wantFault(t, d.bytes(), "a.e57", c.words)
		})
	}
}
