package scan_test

import (
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestCRC32C holds the checksum of the pages to the examples of RFC 3720, appendix B.4, which prints the bytes in the order
// in which iSCSI sends them, the lowest first.
func TestCRC32C(t *testing.T) {
	t.Parallel()
	rising, falling := make([]byte, 32), make([]byte, 32)
	for i := range rising {
		rising[i], falling[31-i] = byte(i), byte(i)
	}
	ones := make([]byte, 32)
	for i := range ones {
		ones[i] = 0xff
	}
	for _, c := range []struct {
		data []byte
		want [4]byte
	}{
		{make([]byte, 32), [4]byte{0xaa, 0x36, 0x91, 0x8a}},
		{ones, [4]byte{0x43, 0xab, 0xa8, 0x62}},
		{rising, [4]byte{0x4e, 0x79, 0xdd, 0x46}},
		{falling, [4]byte{0x5c, 0xdb, 0x3f, 0x11}},
	} {
		if got := crc32.Checksum(c.data, crc32.MakeTable(crc32.Castagnoli)); got != binary.LittleEndian.Uint32(c.want[:]) {
			t.Errorf("%x: %08x, want %x", c.data, got, c.want)
		}
	}
}

// TestE57RoundTrip writes scans of random fields, cut into packets at random so that values lie across their ends and the
// streams are not level, with packets between that have to be passed over.
func TestE57RoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var d e57Draft
		var want [][3]float64
		invalid := int64(0)
		for range rapid.IntRange(1, 3).Draw(t, "scans") {
			s, points, marked := drawE57Scan(t)
			d.scans = append(d.scans, s)
			want = append(want, points...)
			invalid += marked
		}
		content := d.bytes()
		for _, workers := range []int{1, 4} {
			r, err := readBytes(content, "a.e57", workers)
			if len(want) == 0 {
				if err == nil {
					t.Fatal("nothing was read without a fault")
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if len(r.xyz) != 3*len(want) || r.tally.Invalid != invalid {
				t.Fatalf("%d points, want %d; %d invalid, want %d", len(r.xyz)/3, len(want), r.tally.Invalid, invalid)
			}
			for i := range want {
				for axis, v := range want[i] {
					if got := r.point(i)[axis]; math.Float64bits(got) != math.Float64bits(v) && !(got == 0 && v == 0) {
						t.Fatalf("point %d: %v, want %v", i, r.point(i), want[i])
					}
				}
			}
		}
	})
}

// drawE57Scan draws a scan and returns its valid points and the number of others.
func drawE57Scan(t *rapid.T) (s e57DraftScan, points [][3]float64, marked int64) {
	s.records = rapid.IntRange(1, 300).Draw(t, "records")
	var axes [3][]float64
	var states []uint64
	filler := func() {
		if rapid.Bool().Draw(t, "another field") {
			width := rapid.IntRange(0, 64).Draw(t, "width")
			f := integerField("ext:colour", 0, 0, drawStored(t, s.records, width))
			f.definition, f.width = fmt.Sprintf(`<ext:cartesianX type="Integer" minimum="0" maximum="%d"/>`, int64(uint64(1)<<width-1)&math.MaxInt64), min(width, 63)
			s.fields = append(s.fields, f)
		}
	}
	for axis, name := range []string{"cartesianX", "cartesianY", "cartesianZ"} {
		filler()
		f, values := drawCoordinate(t, name, s.records)
		s.fields = append(s.fields, f)
		axes[axis] = values
	}
	if rapid.Bool().Draw(t, "states") {
		states = drawStored(t, s.records, 1)
		s.fields = append(s.fields, integerField("cartesianInvalidState", 0, 2, states))
	}
	// One field of a byte makes sure that something backs the count.
	s.fields = append(s.fields, integerField("intensity", 0, 255, drawStored(t, s.records, 8)))
	filler()
	cut := rapid.IntRange(1, 200).Draw(t, "cut")
	s.chunk = func(packet, stream, left int) int {
		if packet > 2000 {
			return left
		}
		return (packet*7+stream*13)%cut + packet%2
	}
	s.between = func(packet int) []byte {
		switch packet % 5 {
		case 1:
			return append([]byte{2, 0, 15, 0}, make([]byte, 12)...) // to be ignored
		case 3:
			return append([]byte{0, 0, 31, 0}, make([]byte, 28)...) // an index
		}
		return nil
	}
	for i := range s.records {
		if states != nil && states[i] != 0 {
			marked++
			continue
		}
		points = append(points, [3]float64{axes[0][i], axes[1][i], axes[2][i]})
	}
	return s, points, marked
}

// drawCoordinate draws a field of any type and returns the values it stands for.
func drawCoordinate(t *rapid.T, name string, records int) (f e57DraftField, values []float64) {
	switch rapid.IntRange(0, 3).Draw(t, "type") {
	case 0:
		f = doubleField(name)
		for i := range records {
			v := math.Sin(float64(i)) * 100
			f.stored, values = append(f.stored, math.Float64bits(v)), append(values, v)
		}
	case 1:
		f = singleField(name)
		for i := range records {
			v := float32(math.Cos(float64(i)))
			f.stored, values = append(f.stored, uint64(math.Float32bits(v))), append(values, float64(v))
		}
	default:
		minimum := rapid.Int64().Draw(t, "minimum")
		span := rapid.Uint64Max(math.MaxInt64-uint64(max(minimum, 0))).Draw(t, "span")
		span >>= rapid.UintRange(0, 63).Draw(t, "narrower")
		maximum := int64(uint64(minimum) + span)
		scale, offset := 1.0, 0.0
		f = integerField(name, minimum, maximum, nil)
		if rapid.Bool().Draw(t, "scaled") {
			scale, offset = rapid.Float64Range(1e-9, 1e-3).Draw(t, "scale"), rapid.Float64Range(-100, 100).Draw(t, "offset")
			f = scaledField(name, minimum, maximum, scale, offset, nil)
		}
		for range records {
			stored := rapid.Uint64Max(span).Draw(t, "stored")
			f.stored = append(f.stored, stored)
			values = append(values, float64(float64(minimum+int64(stored))*scale)+offset)
		}
	}
	return f, values
}

func drawStored(t *rapid.T, n, width int) []uint64 {
	values := make([]uint64, n)
	for i := range values {
		values[i] = rapid.Uint64().Draw(t, "stored") & (uint64(1)<<width - 1)
	}
	return values
}

// Scans are put together by their poses; one without a pose is named.
func TestE57SeveralScans(t *testing.T) {
	t.Parallel()
	scanAt := func(pose string, x, y, z float64) e57DraftScan {
		return e57DraftScan{records: 1, pose: pose, fields: []e57DraftField{doubleField("cartesianX", x), doubleField("cartesianY", y), doubleField("cartesianZ", z)}}
	}
	// Half a turn around z: w = 0; a third of a turn around (1, 1, 1) takes x to y, y to z and z to x: w = x = y = z = 1/2.
	d := e57Draft{scans: []e57DraftScan{
		scanAt(`<pose type="Structure"><rotation type="Structure"><w type="Float"/><x type="Float"/><y type="Float"/><z type="Float">1</z></rotation>
			<translation type="Structure"><x type="Float">10</x></translation></pose>`, 1, 2, 3),
		scanAt(`<pose type="Structure"><rotation type="Structure"><w type="Float">5e-1</w><x type="Float">.5</x><y type="Float"> 0.5 </y><z type="Float">0.5</z></rotation></pose>`, 1, 2, 3),
		scanAt(`<pose type="Structure"><translation type="Structure"><z type="Float">-0.5</z></translation></pose>`, 1, 2, 3),
		scanAt("", 4, 5, 6),
		{fields: draftPoints(0).fields},
	}}
	r := mustRead(t, d.bytes(), "a.e57")
	for i, want := range [][3]float64{{9, -2, 3}, {3, 1, 2}, {1, 2, 2.5}, {4, 5, 6}} {
		if r.point(i) != want {
			t.Errorf("point %d: %v, want %v", i, r.point(i), want)
		}
	}
	if r.head.Format != "E57, 5 scans" || r.head.Declared != 4 || len(r.tally.Warnings) != 1 {
		t.Errorf("%+v, warnings %q", r.head, r.tally.Warnings)
	}
	wantWords(t, "warning", r.tally.Warnings[0], "1 scan of 5 without a pose", "scan 3")
}

// A scan that claims to be empty has to be so.
func TestE57EmptyScan(t *testing.T) {
	t.Parallel()
	empty := draftPoints(10)
	empty.claim = -10
	d := e57Draft{scans: []e57DraftScan{draftPoints(10), empty}}
	wantFault(t, d.bytes(), "a.e57", "scan 1 announces 0 records, the packets hold 10 of field 0")
}

// Records too many are found out though they are all zeros, which might fill up the last integer.
func TestE57TooMany(t *testing.T) {
	t.Parallel()
	s := e57DraftScan{records: 2, claim: -1, fields: []e57DraftField{singleField("cartesianX", 1, 0), singleField("cartesianY", 2, 0), singleField("cartesianZ", 3, 0)}}
	d := e57Draft{scans: []e57DraftScan{s}}
	wantFault(t, d.bytes(), "a.e57", "scan 0 announces 1 record, the packets hold 2 of field 0")
	zeros := draftPoints(40)
	for i := range zeros.fields {
		clear(zeros.fields[i].stored)
	}
	zeros.claim = -30
	d.scans[0] = zeros
	wantFault(t, d.bytes(), "a.e57", "scan 0 announces 10 records, the packets hold 40 of field 0")
}

// Scans that share their bytes would multiply the points of a file.
func TestE57Overlap(t *testing.T) {
	t.Parallel()
	d := e57Draft{scans: []e57DraftScan{draftPoints(10), draftPoints(10)}}
	d.xml = d.description([]int{draftSection, draftSection})
	wantFault(t, d.bytes(), "a.e57", "scans 0 and 1 overlap")
}

// One stream far ahead of the others would have to be kept in memory.
func TestE57Ahead(t *testing.T) {
	t.Parallel()
	s := e57DraftScan{records: 1 << 20}
	for _, name := range []string{"cartesianX", "cartesianY", "cartesianZ"} {
		s.fields = append(s.fields, doubleField(name, make([]float64, s.records)...))
	}
	s.chunk = func(_, stream, left int) int {
		if stream == 2 {
			return left
		}
		return 8
	}
	d := e57Draft{scans: []e57DraftScan{s}}
	wantFault(t, d.bytes(), "a.e57", "the stream of cartesianZ is", "bytes ahead")
}

// Not finite and invalid records are counted apart.
func TestE57LeftOut(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	d := e57Draft{scans: []e57DraftScan{{records: 4, fields: []e57DraftField{
		doubleField("sphericalRange", 1, nan, 2, 3), doubleField("sphericalAzimuth", 0, 0, math.Pi/2, 0), doubleField("sphericalElevation", 0, 0, 0, nan),
		integerField("sphericalInvalidState", 0, 2, []uint64{0, 0, 0, 2}),
	}}}}
	r := mustRead(t, d.bytes(), "a.e57")
	if len(r.xyz) != 6 || r.tally.Invalid != 1 || r.tally.NonFinite != 1 || r.tally.FirstNonFinite != 1 {
		t.Fatalf("%v %+v", r.xyz, r.tally)
	}
	if p := r.point(1); math.Abs(p[0]) > 1e-15 || p[1] != 2 || p[2] != 0 {
		t.Errorf("point 1: %v, want 0, 2, 0", p)
	}
}
