package scan_test

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"plumbrule/records/scan"
)

// BenchmarkTextAgainstNumpy reads a million rows of three or seven columns and has numpy.loadtxt read the same rows, three
// columns of them, before each time; the processors are the same.
//
//	go test -run '^$' -bench TextAgainstNumpy -benchtime 5x ./records/scan
func BenchmarkTextAgainstNumpy(b *testing.B) {
	for _, c := range []struct {
		name string
		digits,
		more int
	}{{"3 columns, 6 decimals", 6, 0}, {"3 columns, 10 decimals", 10, 0}, {"7 columns, 6 decimals", 6, 4}} {
		name := filepath.Join(b.TempDir(), "cloud.xyz")
		const rows = 1_000_000
		write(b, name, func(w *bufio.Writer) {
			for i := range rows {
				sin, cos := math.Sincos(float64(i) * 2.39996)
				for axis, v := range [3]float64{15*cos - 120, 15*sin + 35, 400 + 1e-5*float64(i)} {
					if axis > 0 {
						w.WriteByte(' ')
					}
					w.Write(strconv.AppendFloat(w.AvailableBuffer(), v, 'f', c.digits, 64))
				}
				w.WriteString(strings.Repeat(" 255", c.more) + "\n")
			}
		})
		for _, workers := range []int{1, runtime.GOMAXPROCS(0)} {
			b.Run(fmt.Sprintf("%s/%d", c.name, workers), func(b *testing.B) {
				var numpy, read time.Duration
				for b.Loop() {
					numpy += numpyTime(b, name)
					start := time.Now()
					if n := sumUp(b, name, workers); n != rows {
						b.Fatalf("%d points", n)
					}
					read += time.Since(start)
				}
				b.ReportMetric(read.Seconds()/float64(b.N), "read-s")
				b.ReportMetric(read.Seconds()/numpy.Seconds(), "×loadtxt")
			})
		}
	}
}

// numpyTime returns how long numpy.loadtxt takes for the first three columns, without its start.
func numpyTime(b *testing.B, name string) time.Duration {
	b.Helper()
	const program = "import sys, time, numpy\nt = time.perf_counter()\nnumpy.loadtxt(sys.argv[1], usecols=(0, 1, 2))\nprint(time.perf_counter() - t)"
	out, err := exec.CommandContext(b.Context(), "/usr/bin/python3", "-c", program, name).Output()
	if err != nil {
		b.Skip("no numpy to compare with")
	}
	seconds, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	if err != nil {
		b.Fatal(err)
	}
	return time.Duration(seconds * float64(time.Second))
}

// BenchmarkE57 reads a million points of 23 bits a coordinate, with intensities of 12 bits that are passed over and a pose.
func BenchmarkE57(b *testing.B) {
	s := e57DraftScan{records: 1_000_000}
	for axis, name := range []string{"cartesianX", "cartesianY", "cartesianZ"} {
		stored := make([]uint64, s.records)
		for i := range stored {
			stored[i] = uint64(i*(axis+1)*2654435761) % 8_000_001
		}
		s.fields = append(s.fields, scaledField(name, -4_000_000, 4_000_000, 1e-6, 0, stored))
	}
	s.fields = append(s.fields, integerField("intensity", 0, 4095, make([]uint64, s.records)))
	s.pose = `<pose type="Structure"><rotation type="Structure"><w type="Float">0.6</w><z type="Float">0.8</z></rotation></pose>`
	d := e57Draft{scans: []e57DraftScan{s}}
	benchmarkBytes(b, d.bytes(), "a.e57")
}

// BenchmarkPCDCompressed reads a million points of which a part can be packed.
func BenchmarkPCDCompressed(b *testing.B) {
	d := pcdDraft{width: 1_000_000, height: 1, data: "binary_compressed"}
	for axis, name := range []string{"x", "y", "z", "intensity"} {
		f := pcdDraftField{name: name, size: 4, kind: 'F', count: 1, values: make([]float64, d.width)}
		for i := range f.values {
			f.values[i] = math.Sin(float64(i*(axis+1))) * 400
		}
		d.fields = append(d.fields, f)
	}
	d.pack = func(raw []byte) (packed []byte) {
		for i := 0; i < len(raw); i += 40 {
			packed = reference(append(packed, literals(raw[i:i+32])...), 8, 32)
		}
		return packed
	}
	benchmarkBytes(b, d.bytes(), "a.pcd")
}

func benchmarkBytes(b *testing.B, content []byte, name string) {
	b.Helper()
	cloud, err := scan.Open(bytes.NewReader(content), int64(len(content)), scan.Options{Name: name})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(content)))
	b.ReportAllocs()
	points := int64(0)
	for b.Loop() {
		t, err := cloud.Read(b.Context(), scan.Reading{Workers: 2}, func(*scan.Block) error { return nil })
		if err != nil {
			b.Fatal(err)
		}
		points += t.Points
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(points), "ns/point")
}
