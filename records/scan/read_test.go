package scan_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"plumbrule/records/scan"
)

// reading is all that a pass gave.
type reading struct {
	head   scan.Head
	xyz    []float64
	weight []float64
	cuts   []int // points of each block
	tally  scan.Tally
}

func (r *reading) point(i int) [3]float64 { return [3]float64(r.xyz[3*i : 3*i+3]) }

// box returns the smallest and largest coordinates.
func (r *reading) box() [2][3]float64 {
	low, high := r.point(0), r.point(0)
	for i := range len(r.xyz) / 3 {
		for axis, v := range r.point(i) {
			low[axis] = min(low[axis], v)
			high[axis] = max(high[axis], v)
		}
	}
	return [2][3]float64{low, high}
}

// readBytes opens and reads content under a name.
func readBytes(content []byte, name string, workers int) (*reading, error) {
	cloud, err := scan.Open(bytes.NewReader(content), int64(len(content)), scan.Options{Name: name})
	if err != nil {
		return nil, err
	}
	return readCloud(cloud, workers)
}

// readCloud puts the blocks of a pass together in their order.
func readCloud(cloud *scan.Cloud, workers int) (*reading, error) {
	type block struct {
		index       int
		xyz, weight []float64
	}
	var mu sync.Mutex
	var blocks []block
	tally, err := cloud.Read(context.Background(), scan.Reading{Workers: workers}, func(b *scan.Block) error {
		mu.Lock()
		defer mu.Unlock()
		blocks = append(blocks, block{b.Index, slices.Clone(b.XYZ), slices.Clone(b.Weight)})
		return nil
	})
	if err != nil {
		return nil, err
	}
	slices.SortFunc(blocks, func(a, b block) int { return a.index - b.index })
	r := &reading{head: cloud.Head, tally: tally}
	for _, b := range blocks {
		r.xyz = append(r.xyz, b.xyz...)
		r.weight = append(r.weight, b.weight...)
		r.cuts = append(r.cuts, b.index, len(b.xyz)/3)
	}
	return r, nil
}

// mustRead reads content by one worker and by four, which has to give the same.
func mustRead(t *testing.T, content []byte, name string) *reading {
	t.Helper()
	one, err := readBytes(content, name, 1)
	if err != nil {
		t.Fatal(err)
	}
	four, err := readBytes(content, name, 4)
	if err != nil {
		t.Fatal(err)
	}
	if d := different(one, four); d != "" {
		t.Fatalf("%s: one worker and four differ in %s", name, d)
	}
	if n := int64(len(one.xyz) / 3); n != one.tally.Points {
		t.Errorf("%s: %d points given, %d counted", name, n, one.tally.Points)
	}
	for _, v := range append(one.xyz, one.weight...) {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%s: %g was given", name, v)
		}
	}
	return one
}

// different tells in what two readings are not the same, to the bit.
func different(a, b *reading) string {
	same := func(a, b []float64) bool {
		return slices.EqualFunc(a, b, func(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) })
	}
	switch {
	case a.head != b.head:
		return "the head"
	case !slices.Equal(a.cuts, b.cuts):
		return "the cut of blocks"
	case !same(a.xyz, b.xyz):
		return "coordinates"
	case !same(a.weight, b.weight):
		return "weights"
	case !slices.Equal(a.tally.Warnings, b.tally.Warnings):
		return "warnings"
	}
	ta, tb := a.tally, b.tally
	if ta.Points != tb.Points || ta.Facets != tb.Facets || ta.NonFinite != tb.NonFinite || ta.FirstNonFinite != tb.FirstNonFinite ||
		ta.Invalid != tb.Invalid || ta.Step != tb.Step {
		return "the tally"
	}
	return ""
}

func testdata(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func packed(t testing.TB, content []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := w.Write(content); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func unpacked(t testing.TB, content []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	b, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// wantWords fails for every word that the text lacks.
func wantWords(t *testing.T, what, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%s: %q does not say %q", what, text, w)
		}
	}
}
