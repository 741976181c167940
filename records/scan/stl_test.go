package scan_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

type facet [3][3]float32

func binarySTL(header string, facets []facet) []byte {
	out := fmt.Appendf(nil, "%-80.80s", header)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(facets)))
	for _, f := range facets {
		out = append(out, make([]byte, 12)...)
		for _, corner := range f {
			for _, v := range corner {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(v))
			}
		}
		out = append(out, 0, 0)
	}
	return out
}

func textSTL(facets []facet) []byte {
	out := []byte("solid of revolution\n")
	for _, f := range facets {
		out = append(out, "  facet normal 0 0 nan\n    outer loop\n"...)
		for _, c := range f {
			out = fmt.Appendf(out, "      vertex %v %v %v\n", c[0], c[1], c[2])
		}
		out = append(out, "    endloop\n  endfacet\n"...)
	}
	return append(out, "endsolid of revolution\n"...)
}

// cube is the unit cube, two facets to a face, from the lower corner.
func cube(low float32) []facet {
	at := func(i int) [3]float32 {
		return [3]float32{low + float32(i&1), low + float32(i>>1&1), low + float32(i>>2)}
	}
	var out []facet
	for _, q := range [][4]int{{0, 1, 3, 2}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 3, 7, 6}, {0, 2, 6, 4}, {1, 3, 7, 5}} {
		out = append(out, facet{at(q[0]), at(q[1]), at(q[2])}, facet{at(q[0]), at(q[2]), at(q[3])})
	}
	return out
}

// The weights of a cube's corners, counted by hand: each of the twelve facets has the area 1/2 and gives a third of it to
// each of its corners. The first corner is in two facets of each of three faces, its neighbours along the edges in one facet
// of two faces and so on; all add up to the surface, 6.
func TestSTLWeights(t *testing.T) {
	for name, content := range map[string][]byte{"binary": binarySTL("", cube(2)), "text": textSTL(cube(2))} {
		r := mustRead(t, content, name+".stl")
		if len(r.xyz) != 3*8 || r.tally.Facets != 12 || r.head.Declared != -1 || !r.head.Mesh {
			t.Fatalf("%s: %d points, %+v, %+v", name, len(r.xyz)/3, r.tally, r.head)
		}
		facets, sum := map[[3]float64]int{}, 0.0
		for _, f := range cube(2) {
			for _, c := range f {
				facets[[3]float64{float64(c[0]), float64(c[1]), float64(c[2])}]++
			}
		}
		for i, w := range r.weight {
			if want := float64(facets[r.point(i)]) / 6; math.Abs(w-want) > 1e-15 {
				t.Errorf("%s: weight of %v is %g, want %g", name, r.point(i), w, want)
			}
			sum += w
		}
		if math.Abs(sum-6) > 1e-14 {
			t.Errorf("%s: the weights add up to %g, want 6", name, sum)
		}
		if first := [][3]float64{r.point(0), r.point(1), r.point(2)}; !slices.Equal(first, [][3]float64{{2, 2, 2}, {3, 2, 2}, {3, 3, 2}}) {
			t.Errorf("%s: the first points are %v, not the corners of the first facet", name, first)
		}
	}
}

// Zero has two spellings and is one place; anything else that differs by a bit is another.
func TestSTLMergesExactly(t *testing.T) {
	minus := float32(math.Copysign(0, -1))
	next := math.Nextafter32(1, 2)
	r := mustRead(t, binarySTL("", []facet{
		{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}},
		{{minus, 0, minus}, {next, 0, 0}, {0, 1, minus}},
	}), "a.stl")
	want := []float64{0, 0, 0, 1, 0, 0, 0, 1, 0, float64(next), 0, 0}
	if !slices.Equal(r.xyz, want) || slices.ContainsFunc(r.xyz, func(v float64) bool { return v == 0 && math.Signbit(v) }) {
		t.Errorf("points %v, want %v", r.xyz, want)
	}
}

// A vertex whose facets have no area counts nothing, but is there; where none has any, all count alike.
func TestSTLDegenerateFacets(t *testing.T) {
	point := facet{{1, 1, 1}, {1, 1, 1}, {1, 1, 1}}
	line := facet{{0, 0, 0}, {1, 0, 0}, {5, 0, 0}}
	r := mustRead(t, binarySTL("", append(cube(2), point, line)), "a.stl")
	if len(r.xyz) != 3*(8+4) || len(r.weight) != 12 || !slices.Equal(r.weight[8:], make([]float64, 4)) || r.tally.Facets != 14 {
		t.Errorf("points %v, weights %v", r.xyz, r.weight)
	}
	r = mustRead(t, binarySTL("", []facet{point, line}), "a.stl")
	if len(r.xyz) != 3*4 || r.weight != nil || len(r.tally.Warnings) != 1 || !strings.Contains(r.tally.Warnings[0], "no area") {
		t.Errorf("points %v, weights %v, %+v", r.xyz, r.weight, r.tally)
	}
}

// A corner that is not finite is left out; its facet gives no area, and the other corners stay.
func TestSTLNotFinite(t *testing.T) {
	nan := float32(math.NaN())
	facets := append(cube(2), facet{{2, 2, 2}, {nan, 0, 0}, {9, 9, 9}})
	for name, content := range map[string][]byte{"binary": binarySTL("", facets), "text": textSTL(facets)} {
		r := mustRead(t, content, name+".stl")
		if len(r.xyz) != 3*9 || r.weight[8] != 0 || r.tally.NonFinite != 1 || r.tally.FirstNonFinite != 37 || len(r.tally.Warnings) != 1 {
			t.Errorf("%s: %v %v %+v", name, r.xyz, r.weight, r.tally)
		}
	}
	wantFault(t, binarySTL("", []facet{{{nan, 0, 0}, {nan, 0, 0}, {nan, 0, 0}}}), "a.stl", "no corner has finite coordinates (3 have others)")
}

// Text and binary files of the same facets give the same vertices and weights, packed or not, however often read.
func TestSTLTextAsBinary(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		coordinate := rapid.Custom(func(t *rapid.T) float32 { return float32(rapid.IntRange(-3, 3).Draw(t, "coordinate")) / 3 })
		var facets []facet
		for range rapid.IntRange(1, 60).Draw(rt, "facets") {
			var f facet
			for i := range f {
				for axis := range f[i] {
					f[i][axis] = coordinate.Draw(rt, "coordinate")
				}
			}
			facets = append(facets, f)
		}
		distinct := map[[3]float32]bool{}
		for _, f := range facets {
			for _, c := range f {
				distinct[c] = true
			}
		}
		first, err := readBytes(binarySTL("solid", facets), "a.stl", 1)
		if err != nil {
			rt.Fatal(err)
		}
		if len(first.xyz) != 3*len(distinct) {
			rt.Fatalf("%d points, want %d", len(first.xyz)/3, len(distinct))
		}
		for _, content := range [][]byte{packed(t, binarySTL("solid", facets)), textSTL(facets), packed(t, textSTL(facets))} {
			r, err := readBytes(content, "a.stl", 2)
			if err != nil {
				rt.Fatal(err)
			}
			if len(r.xyz) != len(first.xyz) { // decimal numerals of single precision are no other doubles for each vertex
				rt.Fatalf("%d points, want %d", len(r.xyz)/3, len(first.xyz)/3)
			}
			for i := range r.xyz {
				if float32(r.xyz[i]) != float32(first.xyz[i]) {
					rt.Fatalf("%v, want %v", r.xyz, first.xyz)
				}
			}
			for i := range r.weight {
				if math.Abs(r.weight[i]-first.weight[i]) > 1e-6 {
					rt.Fatalf("weights %v, want %v", r.weight, first.weight)
				}
			}
		}
	})
}

// So many vertices that blocks and the table have to grow: a sheet of 300 × 300 squares with 301² vertices.
func TestSTLManyVertices(t *testing.T) {
	const n = 300
	var facets []facet
	for i := range n {
		for j := range n {
			x, y := float32(i), float32(j)
			facets = append(facets, facet{{x, y, 1}, {x + 1, y, 1}, {x, y + 1, 1}}, facet{{x + 1, y, 1}, {x + 1, y + 1, 1}, {x, y + 1, 1}})
		}
	}
	r := mustRead(t, binarySTL("", facets), "a.stl")
	sum := 0.0
	for _, w := range r.weight {
		sum += w
	}
	if len(r.xyz) != 3*(n+1)*(n+1) || math.Abs(sum-n*n) > 1e-6 || r.tally.Facets != 2*n*n {
		t.Errorf("%d points, weights of %g, %+v", len(r.xyz)/3, sum, r.tally)
	}
}

func TestSTLFaults(t *testing.T) {
	text := string(textSTL(cube(2)))
	whole := binarySTL("", cube(2))
	tests := []struct{ content, says string }{
		{string(whole[:len(whole)-1]), "12 facets announced, data for 11"},
		{string(whole) + string(whole[84:134]), "12 facets announced, data for 13"},
		{string(whole[:83]), "has 83 bytes"},
		{"solid nothing\nendsolid\n", "the file has no facets"},
		{"solid nothing\nfacet", "the file ends inside a solid"},
		{text[:len(text)-len("endsolid of revolution\n")], "ends inside a solid, behind 12 whole facets, where facet or endsolid should follow"},
		{text[:len(text)/2], ""},
		{strings.Replace(text, "vertex", "vortex", 1), `line 4: the line begins with "vortex" where vertex should stand`},
		{strings.Replace(text, "    endloop", "      vertex 1 2 3\n    endloop", 1), `line 7: the line begins with "vertex" where endloop should stand`},
		{strings.Replace(text, "vertex 2 2 2", "vertex 2 2", 1), "line 4: the vertex has 2 values"},
		{strings.Replace(text, "vertex 2 2 2", "vertex 2 2 2 2", 1), "line 4: the vertex has 4 values"},
		{strings.Replace(text, "vertex 2 2 2", "vertex 2 2 z", 1), `line 4: "z" is not a number`},
		{strings.Replace(text, "vertex 2 2 2", "vertex 2 -1e308 1e308", 1), "the area of facet 0"},
	}
	for _, tt := range tests {
		wantFault(t, []byte(tt.content), "a.stl", tt.says)
		if len(tt.content) > 84 {
			wantFault(t, packed(t, []byte(tt.content)), "a.stl.gz", tt.says)
		}
	}
	r := mustRead(t, append(whole, "VERSION 7"...), "a.stl")
	if len(r.tally.Warnings) != 1 || !strings.Contains(r.tally.Warnings[0], "9 bytes") {
		t.Errorf("warnings %q", r.tally.Warnings)
	}
}

// Text is known by its content, whatever its name, case and line ends, with several solids.
func TestSTLKnownByContent(t *testing.T) {
	want := mustRead(t, textSTL(cube(2)), "a.stl")
	text := string(textSTL(cube(2)))
	for name, content := range map[string]string{
		"name":      text,
		"CR LF":     strings.ReplaceAll(text, "\n", "\r\n"),
		"CR":        strings.ReplaceAll(text, "\n", "\r"),
		"capitals":  strings.ToUpper(text),
		"blank":     "\n \n" + text + "\n\n",
		"UTF-8":     "\xef\xbb\xbf" + text,
		"two":       strings.Replace(text, "  facet", "endsolid\nsolid\n  facet", 2),
		"unendings": strings.TrimRight(text, "\n"),
	} {
		r := mustRead(t, []byte(content), "scan")
		if d := different(want, r); d != "" {
			t.Errorf("%s: differs in %s", name, d)
		}
	}
}
