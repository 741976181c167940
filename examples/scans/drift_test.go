package main

import (
	"math"
	"testing"
)

// The walk begins where it is, keeps its pins, and its joints err as stated: over 4000 joints the standard deviation is
// known to 1.1 %, of which three are allowed.
func TestDrift(t *testing.T) {
	pins := []pin{{1.1, vector{31, 10, -10}}, {401.1, vector{-132, 118, 87}}}
	f := newDrift(newDraws(5, 1), pins)
	if f.at(0) != (vector{}) || f.at(-1) != (vector{}) {
		t.Errorf("%v at the beginning", f.at(0))
	}
	for _, p := range pins {
		if off := f.at(p.atM).plus(p.offset.times(-1)).length(); off > 1e-9 {
			t.Errorf("%v after %v m, want %v", f.at(p.atM), p.atM, p.offset)
		}
	}
	if f.at(500) != f.at(401.1) {
		t.Error("the walk goes on after its end")
	}
	if got, want := f.at(0.75), f.at(0.7).plus(f.at(0.8)).times(0.5); got.plus(want.times(-1)).length() > 1e-9 {
		t.Errorf("%v between two joints, want %v", got, want)
	}
	squares, n := 0.0, 0.0
	for i := 12; i < len(f.offsets); i++ {
		for k := range 3 {
			step := f.offsets[i][k] - f.offsets[i-1][k]
			squares += step * step
			n++
		}
	}
	if sd := math.Sqrt(squares / n); n != 12_000 || math.Abs(sd-jointUM) > 0.02*jointUM {
		t.Errorf("%v joints of %v µm, want %v µm", n, sd, jointUM)
	}
}

// Registration errors show in the scene as well, and the more the later it is seen: on the detour, the floor near the last
// mark lies lower than near the first by what the walk says, and the noise of 25 µm of 80 points leaves 2.8 µm open.
func TestDriftMovesTheScene(t *testing.T) {
	s := stories()[1]
	m := s.make(theBar(t))
	random := newDraws(s.seed, 0)
	where := newPose(random.between(-40, 40), random.between(-4, 4), vector{random.between(-150, 150), random.between(200, 500), random.between(-300, 0)})
	registration := newDrift(newDraws(s.seed, 1), s.pins())
	up := where.turned(vector{0, 0, 1})
	for i := range 6 {
		degrees := 120 + 60*float64(i)
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		mark := where.placed(standCentre().plus(vector{marksRadius * cos, marksRadius * sin, 0}))
		sum, n := 0.0, 0.0
		for _, p := range m.on(table) {
			if away := p.plus(mark.times(-1)); away.length() < 113 {
				sum, n = sum+1000*dot(up, away), n+1
			}
		}
		want := registration.at(s.pathM * turned(degrees))[2]
		if got := sum / n; n < 79 || math.Abs(got-want) > 12 { // three times 2.8 µm, and what the walk does within the patch
			t.Errorf("mark %d: %v points lie %.1f µm high, want %.1f", i+1, n, got, want)
		}
	}
}
