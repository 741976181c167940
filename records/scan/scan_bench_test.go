package scan_test

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"plumbrule/records/scan"
)

// BenchmarkAgainstCat opens a binary PLY file of ten million points, reads it and sums the coordinates up, and lets cat
// read the same file before each time. Both find the file in the system's cache.
//
//	go test -run '^$' -bench AgainstCat -benchtime 10x ./records/scan
func BenchmarkAgainstCat(b *testing.B) {
	const points = 10_000_000
	for _, kind := range []string{"float", "double"} {
		name := filepath.Join(b.TempDir(), "cloud.ply")
		writePLY(b, name, kind, points)
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%d", kind, workers), func(b *testing.B) {
				catTime(b, name) // warms the cache
				var cat, read time.Duration
				for b.Loop() {
					cat += catTime(b, name)
					start := time.Now()
					if n := sumUp(b, name, workers); n != points {
						b.Fatalf("%d points", n)
					}
					read += time.Since(start)
				}
				b.ReportMetric(read.Seconds()/float64(b.N), "read-s")
				b.ReportMetric(read.Seconds()/cat.Seconds(), "×cat")
			})
		}
	}
}

// BenchmarkAgainstNumpy reads an ASCII PLY file of a million points and compares with numpy.loadtxt on the same rows.
//
//	go test -run '^$' -bench AgainstNumpy -benchtime 3x ./records/scan
func BenchmarkAgainstNumpy(b *testing.B) {
	const points = 1_000_000
	name := filepath.Join(b.TempDir(), "cloud.ply")
	writePLY(b, name, "ascii", points)
	b.ReportAllocs()
	var numpy, read time.Duration
	for b.Loop() {
		numpy += loadtxt(b, name)
		start := time.Now()
		if n := sumUp(b, name, runtime.GOMAXPROCS(0)); n != points {
			b.Fatalf("%d points", n)
		}
		read += time.Since(start)
	}
	b.ReportMetric(read.Seconds()/float64(b.N), "read-s")
	b.ReportMetric(read.Seconds()/numpy.Seconds(), "×loadtxt")
}

// BenchmarkSTL merges the vertices of a binary mesh of half a million, each in six facets.
func BenchmarkSTL(b *testing.B) {
	name := filepath.Join(b.TempDir(), "mesh.stl")
	writeSTL(b, name, 700)
	info, err := os.Stat(name)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(info.Size())
	b.ReportAllocs()
	for b.Loop() {
		sumUp(b, name, 2)
	}
}

// sumUp is the least anyone does with a scan: it opens the file, reads all points and adds up their coordinates.
func sumUp(b *testing.B, name string, workers int) int64 {
	b.Helper()
	file, err := os.Open(name)
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		b.Fatal(err)
	}
	cloud, err := scan.Open(file, info.Size(), scan.Options{Name: name})
	if err != nil {
		b.Fatal(err)
	}
	var mu sync.Mutex
	var sum [3]float64
	tally, err := cloud.Read(context.Background(), scan.Reading{Workers: workers}, func(block *scan.Block) error {
		var x, y, z float64
		for p := block.XYZ; len(p) >= 3; p = p[3:] {
			x += p[0]
			y += p[1]
			z += p[2]
		}
		mu.Lock()
		defer mu.Unlock()
		sum = [3]float64{sum[0] + x, sum[1] + y, sum[2] + z}
		return nil
	})
	if err != nil || math.IsNaN(sum[0]+sum[1]+sum[2]) {
		b.Fatal(err, sum)
	}
	return tally.Points
}

// catTime returns how long the system's program takes to read the file, to be started and to end.
func catTime(b *testing.B, name string) time.Duration {
	b.Helper()
	start := time.Now()
	if err := exec.CommandContext(b.Context(), "cat", name).Run(); err != nil {
		b.Skip("no cat to compare with")
	}
	return time.Since(start)
}

// loadtxt returns how long numpy takes to read the rows, without its start.
func loadtxt(b *testing.B, name string) time.Duration {
	b.Helper()
	const program = "import sys, time, numpy\nt = time.perf_counter()\nnumpy.loadtxt(sys.argv[1], skiprows=7)\nprint(time.perf_counter() - t)"
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

// writePLY writes points on a wound curve over a sphere of 15 mm radius, 400 mm away.
func writePLY(b *testing.B, name, kind string, points int) {
	b.Helper()
	format, number := "binary_little_endian", kind
	if kind == "ascii" {
		format, number = "ascii", "float"
	}
	write(b, name, func(w *bufio.Writer) {
		fmt.Fprintf(w, "ply\nformat %s 1.0\nelement vertex %d\nproperty %[3]s x\nproperty %[3]s y\nproperty %[3]s z\nend_header\n", format, points, number)
		for i := range points {
			sin, cos := math.Sincos(float64(i) * 2.39996)
			h := 2*(float64(i)+0.5)/float64(points) - 1
			r := 15 * math.Sqrt(1-h*h)
			for axis, v := range [3]float64{r*cos - 120, r*sin + 35, 15*h + 400} {
				switch kind {
				case "float":
					w.Write(binary.LittleEndian.AppendUint32(w.AvailableBuffer(), math.Float32bits(float32(v))))
				case "double":
					w.Write(binary.LittleEndian.AppendUint64(w.AvailableBuffer(), math.Float64bits(v)))
				default:
					w.Write(append(strconv.AppendFloat(w.AvailableBuffer(), v, 'f', 6, 64), "  \n"[axis]))
				}
			}
		}
	})
}

// writeSTL writes a wavy sheet of n × n squares, two facets each.
func writeSTL(b *testing.B, name string, n int) {
	b.Helper()
	write(b, name, func(w *bufio.Writer) {
		w.Write(make([]byte, 80))
		w.Write(binary.LittleEndian.AppendUint32(nil, uint32(2*n*n)))
		corner := func(i, j int) {
			for _, v := range [3]float64{float64(i) * 0.1, float64(j) * 0.1, math.Sin(float64(i)*0.01) + math.Cos(float64(j)*0.02)} {
				w.Write(binary.LittleEndian.AppendUint32(w.AvailableBuffer(), math.Float32bits(float32(v))))
			}
		}
		for i := range n {
			for j := range n {
				for _, facet := range [2][3][2]int{{{0, 0}, {1, 0}, {0, 1}}, {{1, 0}, {1, 1}, {0, 1}}} {
					w.Write(make([]byte, 12))
					for _, c := range facet {
						corner(i+c[0], j+c[1])
					}
					w.Write([]byte{0, 0})
				}
			}
		}
	})
}

func write(b *testing.B, name string, body func(w *bufio.Writer)) {
	b.Helper()
	file, err := os.Create(name)
	if err != nil {
		b.Fatal(err)
	}
	w := bufio.NewWriterSize(file, 1<<20)
	body(w)
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := file.Close(); err != nil {
		b.Fatal(err)
	}
}
