package scan_test

import (
	"math"
	"slices"
	"testing"
)

// Figures by libE57Format 3.4.0, those of the file with spherical coordinates by numpy from the values as stored.
func TestE57Files(t *testing.T) {
	for _, f := range []pointFile{
		{
			file: "e57-float.e57.gz", format: "E57", unit: "m", single: true, declared: 4000, points: 4000,
			first: [3]float64{-0.32561060786247253, -0.10202610492706299, -0.030163880437612534},
			last:  [3]float64{-0.13940748572349548, 0.07876817137002945, -0.09834606945514679},
			box:   [2][3]float64{{-0.45263949036598206, -0.1920790672302246, -0.1771668940782547}, {-0.023186327889561653, 0.2180628925561905, 0.032414186745882034}},
			step:  0x1p-25, // 2^-2 to 2^-1, 23 bits
		},
		{
			file: "ColouredCubeFloat.e57.gz", format: "E57", unit: "m", single: true, declared: 7680, points: 7680,
			first: [3]float64{-0.5, -0.4990559220314026, 0.07136291265487671},
			last:  [3]float64{0.16827905178070068, -0.00394439697265625, 0.5},
			box:   [2][3]float64{{-0.5, -0.5, -0.5}, {0.5, 0.5, 0.5}},
			step:  0x1p-24,
		},
		{
			file: "tiny_spherical.e57", format: "E57", unit: "m", declared: 360, points: 180, invalid: 180,
			first:     [3]float64{1, 0, 0},
			last:      [3]float64{0.9996376326769221, -0.019032498863828545, 0.019035948179128608},
			box:       [2][3]float64{{6.341362302269048e-07, -0.499998573193859, 0}, {1, 0.4999998414659174, 0.9999996829318345}},
			tolerance: 1e-15,
		},
	} {
		t.Run(f.file, func(t *testing.T) { f.check(t) })
	}
}

// The file's only scan has a pose. What the library reads is before it, so the expected values are moved here by Rodrigues'
// formula, p + 2w(q×p) + 2q×(q×p) + t, which the reader does not use.
func TestE57Pose(t *testing.T) {
	w, q, by := 0.9887710779360422, [3]float64{0, 0, -0.14943813247359922}, [3]float64{0.125, -0.25, 0.0625}
	moved := func(p [3]float64) [3]float64 {
		once := cross(q, p)
		twice := cross(q, once)
		for i := range p {
			p[i] += 2*w*once[i] + 2*twice[i] + by[i]
		}
		return p
	}
	r := mustRead(t, testdata(t, "points/e57-scaled.e57"), "e57-scaled.e57")
	f := pointFile{tolerance: 1e-15}
	f.near(t, "first point", r.point(0), moved([3]float64{-0.47421399999999997, 0.008199999999999999, -0.092664}))
	f.near(t, "last point", r.point(3999), moved([3]float64{-0.349756, 0.235946, -0.160846}))
	f.tolerance = 1e-6 // rounded before it was moved
	f.near(t, "first point of the scene", r.point(0), [3]float64{-0.32561060384885787, -0.10202610316623639, -0.030163880908968984})

	// The box of the points moved back is the library's.
	for i := range 4000 {
		p := r.point(i)
		for axis := range p {
			p[axis] -= by[axis]
		}
		once := cross(q, p)
		twice := cross(q, once)
		for axis := range p {
			r.xyz[3*i+axis] = p[axis] - 2*w*once[axis] + 2*twice[axis]
		}
	}
	f.tolerance = 1e-15
	box := r.box()
	f.near(t, "smallest", box[0], [3]float64{-0.600599, -0.087459, -0.239667})
	f.near(t, "largest", box[1], [3]float64{-0.244724, 0.37530199999999997, -0.030085999999999998})
	if len(r.xyz) != 3*4000 || r.head.Single || r.head.Unit != "m" || math.Abs(r.tally.Step-1e-6) > 1e-20 {
		t.Errorf("%d points, %+v, step %g", len(r.xyz)/3, r.head, r.tally.Step)
	}
}

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// What was laid down with the files; the page with a fault is made by the bit that differs.
func TestE57Malformed(t *testing.T) {
	damaged := slices.Clone(testdata(t, "points/e57-scaled.e57"))
	damaged[5420] ^= 0x10
	wantFault(t, damaged, "e57-bad-page.e57", "checksum of page 5 (counted from 0)", "byte 5120")
	wantFault(t, testdata(t, "points/e57-invalid-section.e57"), "e57-invalid-section.e57", "section id 182, not 1", "byte 48")
	wantFault(t, testdata(t, "points/e57-zero-points.e57"), "e57-zero-points.e57", "nothing to measure", "no points")
}
