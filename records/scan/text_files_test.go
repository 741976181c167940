package scan_test

import (
	"math"
	"strings"
	"testing"
)

// pointFile is what a general-purpose library reads from a file of points.
type pointFile struct {
	file        string
	format      string
	unit        string
	single      bool
	declared    int64
	points      int
	invalid     int64
	first, last [3]float64
	box         [2][3]float64
	tolerance   float64
	step        float64
}

// check reads the file, and the same packed by gzip or unpacked.
func (f *pointFile) check(t *testing.T) *reading {
	t.Helper()
	content := testdata(t, "points/"+f.file)
	if strings.HasSuffix(f.file, ".gz") {
		content = unpacked(t, content)
	}
	name := strings.TrimSuffix(f.file, ".gz")
	r := mustRead(t, content, name)
	if h := r.head; h.Format != f.format || h.Unit != f.unit || h.Single != f.single || h.Declared != f.declared || h.Mesh || h.Compressed {
		t.Errorf("head %+v, want %+v", h, *f)
	}
	if len(r.xyz) != 3*f.points || r.tally.Invalid != f.invalid || r.tally.NonFinite != 0 {
		t.Fatalf("%d points, tally %+v, want %d and %d invalid", len(r.xyz)/3, r.tally, f.points, f.invalid)
	}
	box := r.box()
	f.near(t, "first point", r.point(0), f.first)
	f.near(t, "last point", r.point(f.points-1), f.last)
	f.near(t, "smallest", box[0], f.box[0])
	f.near(t, "largest", box[1], f.box[1])
	if math.Abs(r.tally.Step-f.step) > 1e-9*f.step || len(r.tally.Warnings) > 0 {
		t.Errorf("step %g, want %g; warnings %q", r.tally.Step, f.step, r.tally.Warnings)
	}
	s := mustRead(t, packed(t, content), name+".gz")
	if !s.head.Compressed {
		t.Errorf("head of the packed file: %+v", s.head)
	}
	s.head.Compressed = false
	if d := different(r, s); d != "" {
		t.Errorf("packed, the file differs in %s", d)
	}
	return r
}

func (f *pointFile) near(t *testing.T, what string, got, want [3]float64) {
	t.Helper()
	for axis := range got {
		if !(math.Abs(got[axis]-want[axis]) <= f.tolerance) {
			t.Errorf("%s %v, want %v", what, got, want)
			return
		}
	}
}

// Figures of o3d-* by Open3D 0.16.1; those of SPH102 by Python's float from the file's own columns.
func TestTextFiles(t *testing.T) {
	for _, f := range []pointFile{
		{
			file: "o3d-plain.xyz.gz", format: "text, 3 columns separated by blanks", declared: -1, points: 2900,
			first: [3]float64{7.754876, -19.28543, 408.318229}, last: [3]float64{156.427634, 95.928554, 387.981947},
			box:  [2][3]float64{{-27.803583, -117.354044, 387.945309}, {230.308406, 141.123521, 433.913877}},
			step: 1e-6, // of ten digits printed four are always zero
		},
		{
			file: "o3d-colours.pts.gz", format: "text, 7 columns separated by blanks", declared: 2900, points: 2900,
			first: [3]float64{7.754876, -19.28543, 408.318229}, last: [3]float64{156.427634, 95.928554, 387.981947},
			box:  [2][3]float64{{-27.803583, -117.354044, 387.945309}, {230.308406, 141.123521, 433.913877}},
			step: 1e-6,
		},
		{
			file: "SPH102.xyz.gz", format: "text, 3 columns separated by tabs", declared: -1, points: 1893,
			first: [3]float64{-4.45348, -6.75951, -1.57448}, last: [3]float64{-4.60289, -6.72743, -1.55958},
			box:  [2][3]float64{{-4.60289, -6.77665, -1.62439}, {-4.45269, -6.70245, -1.52824}},
			step: 1e-5,
		},
	} {
		t.Run(f.file, func(t *testing.T) { f.check(t) })
	}
}
