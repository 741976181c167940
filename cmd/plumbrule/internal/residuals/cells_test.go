package residuals

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }

// direction is that of a longitude and latitude in degrees.
func direction(lon, lat float64) xyz {
	sinLon, cosLon := math.Sincos(radians(lon))
	sinLat, cosLat := math.Sincos(radians(lat))
	return xyz{cosLat * cosLon, cosLat * sinLon, sinLat}
}

// Values of PROJ 9.1.1, "proj -f %.12f +proj=laea +lat_0=… +lon_0=… +R=1", which has east to the right and north up.
func TestProjection(t *testing.T) {
	for _, c := range []struct{ lat0, lon0, lon, lat, x, y float64 }{
		{90, 0, 0, 60, 0, -0.517638090205},
		{90, 0, 30, 45, 0.382683432365, -0.662827148071},
		{90, 0, 120, 0, 1.224744871392, 0.707106781187},
		{90, 0, -75, -20, -1.582480230472, -0.424024299793},
		{90, 0, 200, -60, -0.660732179099, 1.815346742381},
		{90, 0, 45, 89.999, 0.000012341341, -0.000012341341},
		{90, 0, 90, -89, 1.999923846128, 0},
		{37, -20, 0, 60, 0.175618019272, 0.419895485759},
		{37, -20, -20, 37, 0, 0},
		{37, -20, 70, -10, 1.471752057276, -0.207253579052},
		{37, -20, -100, 5, -1.271530372983, -0.044715643160},
		{37, -20, 160, -36, 0, 1.999923846128},
	} {
		f, named := newFrame(direction(c.lon0, c.lat0), direction(c.lon0+90, 0))
		x, y, ok := f.project(along(xyz{}, 7.5, direction(c.lon, c.lat)))
		if !ok || named != -1 || math.Abs(x-c.x) > 5e-13 || math.Abs(y-c.y) > 5e-13 {
			t.Errorf("%v: %.12f %.12f, %d", c, x, y, named)
		}
	}
}

// The cap within a polar angle θ has the area 2π(1 - cos θ) of a unit sphere (Archimedes), and so has its map.
func TestMapKeepsAreas(t *testing.T) {
	for _, degrees := range []float64{1e-3, 30, 60, 90, 120, 150, 180} {
		want := 2 * math.Pi * 2 * math.Pow(math.Sin(radians(degrees)/2), 2)
		if got := math.Pi * reach(degrees) * reach(degrees); math.Abs(got-want) > 1e-12*want {
			t.Errorf("%v°: %v, want %v", degrees, got, want)
		}
	}
}

func TestUnit(t *testing.T) {
	third := 1 / math.Sqrt(3)
	for _, c := range []struct {
		v, want xyz
		ok      bool
	}{
		{xyz{0, -3, 4}, xyz{0, -0.6, 0.8}, true},
		{xyz{5e-324, 5e-324, 5e-324}, xyz{third, third, third}, true},
		{xyz{1e308, -1e308, 1e308}, xyz{third, -third, third}, true},
		{xyz{}, xyz{}, false},
		{xyz{math.Inf(1), 0, 0}, xyz{}, false},
		{xyz{0, math.NaN(), 1}, xyz{}, false},
	} {
		got, ok := unit(c.v)
		if rest := minus(got, c.want); ok != c.ok || dot(rest, rest) > 1e-30 {
			t.Errorf("unit(%v) = %v, %v; want %v, %v", c.v, got, ok, c.want, c.ok)
		}
	}
}

func TestFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := rapid.Custom(func(t *rapid.T) xyz {
			var v xyz
			for i := range v {
				v[i] = rapid.Float64Range(-1e9, 1e9).Draw(t, "v")
			}
			return v
		})
		axis, toward := one.Draw(t, "axis"), one.Draw(t, "toward")
		if _, ok := unit(axis); !ok {
			t.Skip("no direction")
		}
		f, _ := newFrame(axis, toward)
		for _, c := range []struct{ got, want float64 }{
			{dot(f.axis, f.axis), 1},
			{dot(f.right, f.right), 1},
			{dot(f.up, f.up), 1},
			{dot(f.axis, f.right), 0},
			{dot(f.axis, f.up), 0},
			{dot(f.right, f.up), 0},
			{dot(cross(f.right, f.up), f.axis), 1}, // seen from outside, not from within
		} {
			if math.Abs(c.got-c.want) > 1e-12 {
				t.Fatalf("%+v: %v, want %v", f, c.got, c.want)
			}
		}
	})
}

// Where the bar points along the axis, an axis of the scan tells what lies to the right.
func TestFrameNamesWhatLiesToTheRight(t *testing.T) {
	for _, c := range []struct {
		axis, toward xyz
		named        int
	}{
		{xyz{0, 0, 1}, xyz{3, 0, 0}, -1},
		{xyz{0, 0, 1}, xyz{0, 0, -2}, 0},
		{xyz{1, 0, 0}, xyz{1, 0, 0}, 1},
		{xyz{0, 0, 1}, xyz{}, 0},
	} {
		if _, named := newFrame(c.axis, c.toward); named != c.named {
			t.Errorf("%v: %d, want %d", c, named, c.named)
		}
	}
}

// tilted is a sphere at 10, 20, 30 with a point at each polar angle and turn about z (0° to the right, 90° up).
func tilted(points [][3]float64) *Sphere { // polar angle, turn, residual
	s := &Sphere{Name: "A", CenterMM: xyz{10, 20, 30}, RadiusMM: 15, Axis: xyz{0, 0, 2}, SDUM: 10}
	for _, p := range points {
		at := along(s.CenterMM, 15, direction(p[1], 90-p[0]))
		s.PointsMM = append(s.PointsMM, at[:]...)
		s.ResidualUM = append(s.ResidualUM, p[2])
	}
	return s
}

func TestCellsHoldMeans(t *testing.T) {
	s := tilted([][3]float64{
		{50, 0, 4}, {50, 0, 8}, // to the right
		{50, 90, -5},              // up
		{0, 0, 1},                 // in the middle
		{59, 225, 2}, {20, 0, 99}, // the latter rejected
	})
	s.Rejected = []bool{false, false, false, false, false, true}
	f, _ := newFrame(s.Axis, xyz{1, 0, 0})
	c := newCap(s, f)
	if c.limit != 60 {
		t.Errorf("the rim at %v°, want 60°", c.limit)
	}
	// The rim is at 1. 2·sin 25° = 0.84524: 21·(1 ± 0.84524) = 38.75 and 3.25; 2·sin 29.5°·cos 45° = 0.69642: 21·(1 - 0.69642) = 6.38.
	want := map[[2]int]struct {
		mean  float64
		count int
	}{{38, 21}: {6, 2}, {21, 3}: {-5, 1}, {21, 21}: {1, 1}, {6, 35}: {2, 1}}
	for row := range grid {
		for column := range grid {
			k := row*grid + column
			w := want[[2]int{column, row}]
			if c.count[k] != w.count || c.mean[k] != w.mean {
				t.Errorf("column %d, row %d: mean %v of %d, want %v of %d", column, row, c.mean[k], c.count[k], w.mean, w.count)
			}
		}
	}
	if len(c.rejected) != 1 || math.Abs(c.rejected[0].x-21*(1+2*math.Sin(radians(10)))) > 1e-9 || math.Abs(c.rejected[0].y-21) > 1e-9 {
		t.Errorf("rejected: %v", c.rejected)
	}
}

// The rim holds every kept point; rejected ones may lie beyond it, and are counted.
func TestRim(t *testing.T) {
	for _, c := range []struct {
		far, limit float64
		beyond     int
	}{{10, 60, 2}, {61, 90, 2}, {100, 120, 2}, {121, 150, 1}, {175, 180, 0}} {
		s := tilted([][3]float64{{5, 0, 1}, {c.far, 77, 1}, {125, 40, 9}, {155, 10, 9}, {3, 3, 9}})
		s.Rejected = []bool{false, false, true, true, true}
		f, _ := newFrame(s.Axis, xyz{1, 0, 0})
		got := newCap(s, f)
		if got.limit != c.limit || got.beyond != c.beyond || len(got.rejected) != 3-c.beyond {
			t.Errorf("%v: rim %v°, %d beyond, %d on the map", c, got.limit, got.beyond, len(got.rejected))
		}
	}
}

func TestTally(t *testing.T) {
	s := tilted([][3]float64{{1, 0, 29.9}, {1, 0, 31}, {1, 0, 1e300}, {1, 0, 1}, {1, 0, -1}, {1, 0, -2.6}, {1, 0, -29}, {1, 0, -400}, {1, 0, 0.5}})
	s.Rejected = []bool{8: true}
	want := [tallyBins]int{0: 3, 11: 1, 12: 1, 13: 1, 23: 2}
	if got := s.tally(); got != want {
		t.Errorf("%v, want %v", got, want)
	}
	s.SDUM = 0
	if got := s.tally(); got != [tallyBins]int{} {
		t.Errorf("%v without a spread", got)
	}
}

func TestClass(t *testing.T) {
	for _, c := range []struct {
		mean, sd float64
		want     int
	}{
		{0, 10, 1},
		{4.9, 10, 1},
		{5, 10, 2},
		{10, 10, 3},
		{14.9, 10, 3},
		{25, 10, 6},
		{30, 10, 6},
		{1e12, 1e-300, 6},
		{0, 5e-324, 1},
		{-0.1, 10, -1},
		{-5, 10, -2},
		{-29, 10, -6},
		{-400, 10, -6},
		{3, 0, 1},
		{-3, 0, -1},
	} {
		if got := class(c.mean, c.sd); got != c.want {
			t.Errorf("class(%v, %v) = %d, want %d", c.mean, c.sd, got, c.want)
		}
	}
}
