package sphere_test

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"plumbrule/records/scan"
	"plumbrule/rules/sphere"
)

// fromFile is the source the program uses: an opened scan.
type fromFile struct{ cloud *scan.Cloud }

func (f fromFile) Estimate() int64 { return f.cloud.Head.Declared }

func (f fromFile) Blocks(ctx context.Context, visit func(index int, xyz, weight []float64) error) error {
	_, err := f.cloud.Read(ctx, scan.Reading{Workers: runtime.GOMAXPROCS(0)}, func(b *scan.Block) error { return visit(b.Index, b.XYZ, b.Weight) })
	return err
}

// writePLY writes the points as binary PLY in single precision, as most scanners do.
func writePLY(b *testing.B, name string, p sphere.Points) {
	b.Helper()
	file, err := os.Create(name)
	if err != nil {
		b.Fatal(err)
	}
	out := bufio.NewWriterSize(file, 1<<20)
	fmt.Fprintf(out, "ply\nformat binary_little_endian 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\nend_header\n", p.Len())
	var word [4]byte
	for _, v := range p.XYZ {
		binary.LittleEndian.PutUint32(word[:], math.Float32bits(float32(v)))
		if _, err := out.Write(word[:]); err != nil {
			b.Fatal(err)
		}
	}
	if err := out.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := file.Close(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkExtract reads 10 million points from a file and finds and fits the spheres, beside a plain reading of the same
// file in the same run: "×cat" is the ratio of the times. On a table scene the spheres are few among the points; in the
// other a fifth of the points lie on them.
func BenchmarkExtract(b *testing.B) {
	const points = 10_000_000
	for _, c := range []struct {
		name     string
		onSphere int
	}{{"table", points / 100}, {"fifth", points / 10}} {
		b.Run(c.name, func(b *testing.B) {
			s := newScene(1, 0.02)
			for _, x := range []float64{0, 500} {
				s.cap([3]float64{x, 0, 0}, 15, 100*math.Pi/180, c.onSphere)
			}
			s.tube(-30, 530, 0, -45, 15, points/10)
			s.tube(-45, 45, 31.5, 0, 15, points/50)
			s.strays(-90, 590, 120, points/200)
			s.table(-90, 590, 120, -60, points-s.p.Len())
			name := filepath.Join(b.TempDir(), "bar.ply")
			writePLY(b, name, s.p)
			s.p = sphere.Points{}
			runtime.GC()
			wanted := barWanted(30, 0, 500)
			plain, ours := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
			for b.Loop() {
				plain = min(plain, timed(b, name, func(file *os.File, _ int64) {
					if _, err := io.CopyBuffer(struct{ io.Writer }{io.Discard}, struct{ io.Reader }{file}, make([]byte, 128<<10)); err != nil {
						b.Fatal(err)
					}
				}))
				ours = min(ours, timed(b, name, func(file *os.File, size int64) {
					cloud, err := scan.Open(file, size, scan.Options{Name: name})
					if err != nil {
						b.Fatal(err)
					}
					r, err := sphere.Extract(b.Context(), fromFile{cloud}, wanted, sphere.Options{MMPerUnit: 1, Workers: runtime.GOMAXPROCS(0)})
					if err != nil {
						b.Fatal(err)
					}
					if d := r.Distances[0]; math.Abs(d.MM-500) > 4*d.UMM+1e-4 {
						b.Fatalf("distance %.5f", d.MM)
					}
				}))
			}
			b.ReportMetric(float64(ours)/float64(plain), "×cat")
			b.ReportMetric(float64(ours.Milliseconds()), "ms/10M")
		})
	}
}

func timed(b *testing.B, name string, work func(file *os.File, size int64)) time.Duration {
	b.Helper()
	file, err := os.Open(name)
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	info, err := file.Stat()
	if err != nil {
		b.Fatal(err)
	}
	begun := time.Now()
	work(file, info.Size())
	return time.Since(begun)
}
