package sphere_test

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/sphere"
)

// A fit moves with its points: turned, shifted and scaled points give the turned, shifted and scaled sphere, with the same
// scatter and cofactors of the radius.
func TestFitMovesWithItsPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newScene(rapid.Uint64Range(1, 1<<40).Draw(t, "seed"), 0.01)
		s.cap([3]float64{}, 15, rapid.Float64Range(0.5, 3.1).Draw(t, "half-angle"), rapid.IntRange(60, 400).Draw(t, "points"))
		scale := rapid.Float64Range(0.01, 100).Draw(t, "scale")
		mirrored := sphere.Points{}
		for q := range each(s.p) { // a mirror image, scaled and shifted
			mirrored.XYZ = append(mirrored.XYZ, -q[1]*scale+7, q[2]*scale-3, q[0]*scale+11)
		}
		a, errA := sphere.FitPoints(s.p, sphere.FitOptions{})
		b, errB := sphere.FitPoints(mirrored, sphere.FitOptions{Workers: 3})
		if errA != nil || errB != nil {
			t.Fatalf("%v, %v", errA, errB)
		}
		within := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-7*(1+math.Abs(want)) {
				t.Errorf("%s: %.12g, want %.12g", what, got, want)
			}
		}
		within("radius", b.RadiusMM, a.RadiusMM*scale)
		within("s", b.SDMM, a.SDMM*scale)
		within("x", b.CenterMM[0], -a.CenterMM[1]*scale+7)
		within("y", b.CenterMM[1], a.CenterMM[2]*scale-3)
		within("z", b.CenterMM[2], a.CenterMM[0]*scale+11)
		within("cofactor of the radius", b.Cofactors[3][3]/a.Cofactors[3][3], 1)
	})
}

// Weights count as points do: a point of weight 2 is two points.
func TestWeightsCountAsPoints(t *testing.T) {
	s := newScene(3, 0.02)
	s.cap([3]float64{}, 15, 1.5, 300)
	weighted := sphere.Points{XYZ: s.p.XYZ}
	var repeated sphere.Points
	i := 0
	for q := range each(s.p) {
		weight := 1 + i%3
		weighted.Weight = append(weighted.Weight, float64(weight))
		for range weight {
			repeated.XYZ = append(repeated.XYZ, q[:]...)
		}
		i++
	}
	a, err := sphere.FitPoints(weighted, sphere.FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := sphere.FitPoints(repeated, sphere.FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for k := range 3 {
		near(t, "centre", a.CenterMM[k], b.CenterMM[k], 1e-11)
	}
	near(t, "radius", a.RadiusMM, b.RadiusMM, 1e-11)
	// The noise is of 300 points however they are weighted, so s is that of the unweighted fit, nearly.
	plain, err := sphere.FitPoints(s.p, sphere.FitOptions{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "s", a.SDMM, plain.SDMM, 0.05*plain.SDMM)
	if a.Cofactors[3][3] <= plain.Cofactors[3][3] {
		t.Errorf("uneven weights make the radius better known: %g, even ones %g", a.Cofactors[3][3], plain.Cofactors[3][3])
	}
}

func TestPointsThatDetermineNoSphere(t *testing.T) {
	circle, line, few := sphere.Points{}, sphere.Points{}, sphere.Points{XYZ: []float64{1, 0, 0, 0, 1, 0, 0, 0, 1}}
	for i := range 100 {
		a := float64(i) / 7
		circle.XYZ = append(circle.XYZ, math.Cos(a), math.Sin(a), 2)
		line.XYZ = append(line.XYZ, a, 2*a, 3*a)
	}
	for name, p := range map[string]sphere.Points{"circle": circle, "line": line, "three points": few, "none": {}} {
		if f, err := sphere.FitPoints(p, sphere.FitOptions{}); !errors.Is(err, sphere.ErrUndetermined) {
			t.Errorf("%s: %+v, %v", name, f, err)
		}
	}
}

// Whatever the points are, there is a result or a reason, and no figure that is none.
func FuzzExtract(f *testing.F) {
	s := bar(1, 30, 0.02, 250, 0, 100) // small, or minimising takes all the time
	var seed []byte
	for _, v := range s.p.XYZ {
		seed = binary.LittleEndian.AppendUint32(seed, math.Float32bits(float32(v)))
	}
	f.Add(seed, 30.0, 100.0)
	f.Add([]byte{}, 1.0, 0.0)
	f.Add(make([]byte, 1200), 0.1, 5.0)
	f.Fuzz(func(t *testing.T, data []byte, diameter, distance float64) {
		var p sphere.Points
		for i := 0; i+12 <= min(len(data), 24_000); i += 12 {
			var q [3]float64
			finite := true
			for k := range q {
				q[k] = float64(math.Float32frombits(binary.LittleEndian.Uint32(data[i+4*k:])))
				finite = finite && !math.IsNaN(q[k]) && !math.IsInf(q[k], 0)
			}
			if finite { // a source gives nothing else
				p.XYZ = append(p.XYZ, q[:]...)
			}
		}
		w := sphere.Wanted{Spheres: []sphere.NominalSphere{{Name: "A", DiameterMM: diameter}}, AnyNumber: distance <= 0}
		if distance > 0 {
			w.Spheres = append(w.Spheres, sphere.NominalSphere{Name: "B", DiameterMM: diameter})
			w.Distances = []sphere.NominalDistance{{From: "A", To: "B", MM: distance}}
		}
		r, err := sphere.Extract(t.Context(), inMemory{p}, w, sphere.Options{MMPerUnit: 1, UnitStated: true, Workers: 2})
		var reason *sphere.Error
		if err != nil {
			if !errors.As(err, &reason) || reason.Found == "" {
				t.Fatalf("no reason: %v", err)
			}
			return
		}
		for _, s := range r.Spheres {
			for _, v := range []float64{s.RadiusMM, s.CenterMM[0], s.CenterMM[1], s.CenterMM[2], s.SDMM, s.UDiameterMM, s.FormMM, s.Form95MM, s.Coverage, s.HalfAngle} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", s)
				}
			}
		}
	})
}
