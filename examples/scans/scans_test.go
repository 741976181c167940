package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const (
	repository = "../propeller-works"
	committed  = "../propeller-works/scans"
)

func theBar(t testing.TB) reference {
	t.Helper()
	bar, err := certified(os.DirFS(repository))
	if err != nil {
		t.Fatal(err)
	}
	return bar
}

// What the certificate F-25-0113 states at 20 °C, and the bar's record.
func TestReference(t *testing.T) {
	want := reference{certificate: "F-25-0113", diameterA: 29.9992, diameterC: 29.9987, distance: 800.0154, perKelvin: 11.5e-6}
	bar := theBar(t)
	if bar != want {
		t.Errorf("%+v, want %+v", bar, want)
	}
	// 800.0154 mm · 11.5e-6/K · 1.4 K = 12.88 µm
	if got := bar.warm(bar.distance, 21.4); math.Abs(got-800.02828) > 5e-6 {
		t.Errorf("%.6f mm at 21.4 °C", got)
	}
	if _, err := certified(os.DirFS(t.TempDir())); err == nil {
		t.Error("a bar in an empty folder")
	}
}

// The committed scans are those that are made, and nothing else lies beside them.
func TestCommitted(t *testing.T) {
	bar, made := theBar(t), map[string][]byte{}
	for _, s := range stories() {
		files, err := s.files(bar)
		if err != nil {
			t.Fatal(err)
		}
		maps.Copy(made, files)
	}
	total := 0
	entries, err := os.ReadDir(committed)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(committed, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if made[e.Name()] == nil || sha256.Sum256(data) != sha256.Sum256(made[e.Name()]) {
			t.Errorf("%s is not what is made; run go generate ./examples/...", e.Name())
		}
		if len(data) > 200_000 {
			t.Errorf("%s: %d bytes, expected at most 200 000", e.Name(), len(data))
		}
		total += len(data)
	}
	if len(entries) != len(made) || total > 1_500_000 {
		t.Errorf("%d files of %d bytes, expected %d of at most 1 500 000", len(entries), total, len(made))
	}
}

func readTruth(t *testing.T, name string) truthJSON {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(committed, name+".truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var truth truthJSON
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&truth); err != nil {
		t.Fatal(err)
	}
	return truth
}

// readPLY reads one of our files by the format's published rules (Turk, The PLY polygon file format, 1994): the header up
// to end_header, then three little-endian floats for each vertex.
func readPLY(t *testing.T, name string) []vector {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(committed, name+".ply"))
	if err != nil {
		t.Fatal(err)
	}
	head, body, ok := bytes.Cut(data, []byte("end_header\n"))
	n := 0
	for line := range strings.Lines(string(head)) {
		_, _ = fmt.Sscanf(line, "element vertex %d", &n)
	}
	if !ok || len(body) != 12*n || n < 8000 || n > 15_000 {
		t.Fatalf("%s: %d bytes after the header for %d points", name, len(body), n)
	}
	out := make([]vector, n)
	for i := range out {
		for k := range 3 {
			out[i][k] = float64(math.Float32frombits(binary.LittleEndian.Uint32(body[12*i+4*k:])))
		}
	}
	return out
}

// The truth beside a scan belongs to its bytes, and its points to the scan that is made.
func TestTruthBelongsToTheScan(t *testing.T) {
	bar := theBar(t)
	for _, s := range stories() {
		truth, points, made := readTruth(t, s.name), readPLY(t, s.name), s.make(bar)
		data, err := fs.ReadFile(os.DirFS(committed), truth.Scan)
		if err != nil {
			t.Fatal(err)
		}
		if digest := sha256.Sum256(data); hex.EncodeToString(digest[:]) != truth.SHA256 || truth.Points != len(points) {
			t.Errorf("%s: digest or number of points differ from the truth", s.name)
		}
		sum := 0
		for _, n := range truth.Kinds {
			sum += n
		}
		if share := float64(truth.Kinds[outliers]) / float64(sum); sum != len(points) || math.Abs(share-0.005) > 0.0005 {
			t.Errorf("%s: %d points by kind of %d, %.4f of them outliers", s.name, sum, len(points), share)
		}
		perMM := map[string]float64{"mm": 1, "m": 1000}[truth.Unit]
		for i, p := range points {
			// Single precision keeps 24 bits: at 2 m half a step is 0.06 µm.
			if away := p.times(perMM).plus(made.points[i].at.times(-1)).length(); away > 2e-4 {
				t.Fatalf("%s: point %d is %v mm off", s.name, i, away)
			}
		}
	}
}

// fitted is a geometric least-squares sphere with free radius through points, by Gauss and Newton from a start nearby.
func fitted(points []vector, centre vector, radius float64) (vector, float64, float64) {
	var squares float64
	for range 20 {
		var a [4][5]float64
		squares = 0
		for _, p := range points {
			v := p.plus(centre.times(-1))
			u, d := v.unit(), v.length()-radius
			row := [5]float64{u[0], u[1], u[2], 1, d}
			for i := range 4 {
				for k := range 5 {
					a[i][k] += row[i] * row[k]
				}
			}
			squares += d * d
		}
		for i := range 4 { // elimination; the matrix is positive definite
			for k := i + 1; k < 4; k++ {
				f := a[k][i] / a[i][i]
				for c := i; c < 5; c++ {
					a[k][c] -= f * a[i][c]
				}
			}
		}
		var x [4]float64
		for i := 3; i >= 0; i-- {
			x[i] = a[i][4]
			for k := i + 1; k < 4; k++ {
				x[i] -= a[i][k] * x[k]
			}
			x[i] /= a[i][i]
		}
		centre, radius = centre.plus(vector{x[0], x[1], x[2]}), radius+x[3]
	}
	return centre, 2 * radius, math.Sqrt(squares / float64(len(points)-4))
}

func (m *scan) on(k kind) []vector {
	var out []vector
	for _, p := range m.points {
		if p.kind == k {
			out = append(out, p.at)
		}
	}
	return out
}

// A least-squares fit of a sphere's own points finds what the truth says, within twice (the centre: three times) what the noise leaves open. For
// a cap of half-angle θ seen evenly, with a = cos θ, the variance of the radius is 4(1 + a + a²)/(1 - a)²·σ²/n: the moments of
// the cap put into the normal equations. At 100° that is (1.577 σ)²/n, so u of a diameter is 0.60 µm from 4000 points.
func TestFitsFindTheTruth(t *testing.T) {
	bar := theBar(t)
	for _, s := range stories() {
		m, truth := s.make(bar), readTruth(t, s.name)
		u := 2 * 1.577 * sphereNoiseUM / math.Sqrt(float64(s.perSphere)) / 1000
		centres := map[string]vector{}
		for i, k := range []kind{sphereA, sphereC} {
			want := truth.Spheres[i]
			points := m.on(k)
			centre, diameter, sd := fitted(points, want.CentreMM, want.DiameterMM/2)
			centres[want.Name] = centre
			each := u * math.Sqrt(float64(s.perSphere)/float64(len(points)))
			if math.Abs(diameter-want.DiameterMM) > 2*each || centre.plus(want.CentreMM.times(-1)).length() > 3*each || math.Abs(1000*sd-sphereNoiseUM) > 0.6 {
				t.Errorf("%s, %s: diameter off by %.2f µm, centre by %.2f µm, s %.1f µm", s.name, want.Name, 1000*(diameter-want.DiameterMM),
					1000*centre.plus(want.CentreMM.times(-1)).length(), 1000*sd)
			}
			warm := bar.warm(want.CertifiedMM, s.celsius)
			if math.Abs(want.DiameterMM-warm-want.ErrorUM/1000) > 1e-6 {
				t.Errorf("%s, %s: %v mm is no error of %v µm to %v mm", s.name, want.Name, want.DiameterMM, want.ErrorUM, warm)
			}
		}
		distance := centres["C"].plus(centres["A"].times(-1)).length()
		if math.Abs(distance-truth.Distance.MM) > 3*u || math.Abs(truth.Distance.ErrorUM-s.distanceUM) > 0.01 {
			t.Errorf("%s: distance off by %.2f µm", s.name, 1000*(distance-truth.Distance.MM))
		}
		if truth.Distance.WarmMM != round(bar.warm(bar.distance, s.celsius)) {
			t.Errorf("%s: %v mm at %v °C", s.name, truth.Distance.WarmMM, s.celsius)
		}
		if s.way == loop {
			back, _, _ := fitted(m.on(sphereAAgain), m.aAgain, m.diameterA/2)
			closure := back.plus(centres["A"].times(-1))
			if off := closure.plus(truth.Closure.MM.times(-1)).length(); off > 3*u || math.Abs(truth.Closure.Length-0.19727) > 1e-4 {
				t.Errorf("%s: the loop closes by %v, off by %v mm", s.name, closure, off)
			}
		}
		if s.secondSheetUM != 0 {
			other, _, _ := fitted(m.on(secondSheet), m.c, m.diameterC/2)
			apart := other.plus(centres["C"].times(-1))
			if off := apart.plus(truth.Second.MM.times(-1)).length(); off > 6*u || math.Abs(truth.Second.Length-0.12) > 1e-7 {
				t.Errorf("%s: the sheets lie %v apart, off by %v mm", s.name, apart, off)
			}
		}
	}
}

func TestRun(t *testing.T) {
	out := filepath.Join(t.TempDir(), "new")
	if err := run([]string{"-records", repository, "-out", out}); err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{out, committed} {
		if entries, err := os.ReadDir(folder); err != nil || len(entries) != 12 {
			t.Errorf("%s: %d files, %v; want 12", folder, len(entries), err)
		}
	}
	for _, arguments := range [][]string{{}, {"-out", out, "more"}, {"-records", t.TempDir(), "-out", out}, {"-unknown"}} {
		if err := run(arguments); err == nil {
			t.Errorf("%q: no error", arguments)
		}
	}
}
