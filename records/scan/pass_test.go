package scan_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"plumbrule/records/scan"
)

// manyBlocks are files of some blocks, one for each way in which points are read.
func manyBlocks(t *testing.T, blocks int) map[string][]byte {
	t.Helper()
	n := (blocks-1)*scan.BlockPoints + 50
	out := map[string][]byte{}
	for _, format := range []string{"ascii", "binary_little_endian"} {
		e := plyTable{name: "vertex", count: n}
		for axis, name := range []string{"x", "y", "z"} {
			e.columns = append(e.columns, plyColumn{name: name, kind: "float", value: func(row, _ int) float64 { return float64(row % (1000 + axis)) }})
		}
		f := plyFile{format: format, eol: "\n", elements: []plyTable{e}}
		out[format+".ply"] = f.bytes()
		out[format+".ply.gz"] = packed(t, f.bytes())
	}
	var facets []facet
	for i := range n / 3 {
		v := float32(i)
		facets = append(facets, facet{{v, 0, 0}, {v, 1, 0}, {v, 0, 1}})
	}
	out["mesh.stl"] = binarySTL("", facets)
	var obj bytes.Buffer
	for i := range n {
		fmt.Fprintf(&obj, "v %d 0 0\n", i)
	}
	out["mesh.obj"] = obj.Bytes()
	return out
}

func openBytes(t *testing.T, content []byte, name string) *scan.Cloud {
	t.Helper()
	cloud, err := scan.Open(bytes.NewReader(content), int64(len(content)), scan.Options{Name: name})
	if err != nil {
		t.Fatal(err)
	}
	return cloud
}

// noneLeft waits for goroutines that have said they are done.
func noneLeft(t *testing.T, before int) {
	t.Helper()
	for range 1000 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(time.Millisecond)
	}
	t.Errorf("%d goroutines, %d before", runtime.NumGoroutine(), before)
}

// Of several visits that fail, the error of the earliest block is returned, however many work.
func TestFirstErrorOfVisits(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		cloud := openBytes(t, content, name)
		before := runtime.NumGoroutine()
		for _, workers := range []int{0, 1, 2, 40} {
			for range 3 {
				tally, err := cloud.Read(context.Background(), scan.Reading{Workers: workers}, func(b *scan.Block) error {
					if b.Index >= 3 {
						return fmt.Errorf("block %d", b.Index)
					}
					return nil
				})
				if err == nil || err.Error() != "block 3" || tally.Points != 0 {
					t.Errorf("%s, %d workers: %v, %+v, want the error of block 3", name, workers, err, tally)
				}
			}
		}
		noneLeft(t, before)
	}
}

// A visit's error comes before a fault of the file behind its block, and after one before it.
func TestFirstErrorOfFileAndVisits(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		if strings.HasSuffix(name, ".gz") || strings.HasPrefix(name, "mesh") {
			continue
		}
		file := shrinking{content: content, end: len(content)}
		cloud, err := scan.Open(&file, int64(len(content)), scan.Options{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		file.end = len(content) / 2
		for _, workers := range []int{1, 2, 7} {
			for _, fails := range []int{1, 12} {
				failure := errors.New("visit")
				_, err := cloud.Read(context.Background(), scan.Reading{Workers: workers}, func(b *scan.Block) error {
					if b.Index == fails {
						return failure
					}
					return nil
				})
				if errors.Is(err, failure) != (fails == 1) || err == nil {
					t.Errorf("%s, %d workers, failing at block %d: %v", name, workers, fails, err)
				}
			}
		}
	}
}

// A pass ends soon after its context, and leaves nobody behind.
func TestCancelled(t *testing.T) {
	for name, content := range manyBlocks(t, 14) { // more than are under way at a time
		cloud := openBytes(t, content, name)
		before := runtime.NumGoroutine()
		for _, workers := range []int{1, 3} {
			ctx, cancel := context.WithCancel(context.Background())
			var visits atomic.Int32
			tally, err := cloud.Read(ctx, scan.Reading{Workers: workers}, func(*scan.Block) error {
				if visits.Add(1) == 2 {
					cancel()
				}
				return nil
			})
			if !errors.Is(err, context.Canceled) || tally.Points != 0 || int(visits.Load()) > 2+3*workers+1 {
				t.Errorf("%s, %d workers: %v after %d visits", name, workers, err, visits.Load())
			}
			if _, err := cloud.Read(ctx, scan.Reading{}, func(*scan.Block) error { return errors.New("visited") }); !errors.Is(err, context.Canceled) {
				t.Errorf("%s: cancelled before, the pass gave %v", name, err)
			}
		}
		noneLeft(t, before)
	}
}

// What reads without giving points, as the facets of a mesh, notices the end of the context too.
func TestCancelledWhileReading(t *testing.T) {
	for name, content := range manyBlocks(t, 14) {
		ctx, cancel := context.WithCancel(context.Background())
		file := &cancelling{ReaderAt: bytes.NewReader(content), cancel: cancel}
		cloud, err := scan.Open(file, int64(len(content)), scan.Options{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		file.armed.Store(true)
		_, err = cloud.Read(ctx, scan.Reading{Workers: 2}, func(*scan.Block) error { return nil })
		if after := file.after.Load(); !errors.Is(err, context.Canceled) || after > 2 {
			t.Errorf("%s: %v, %d reads after the end", name, err, after)
		}
	}
}

// cancelling ends the context at the first read once it is armed.
type cancelling struct {
	io.ReaderAt
	cancel context.CancelFunc
	armed  atomic.Bool
	after  atomic.Int32
}

func (c *cancelling) ReadAt(p []byte, offset int64) (int, error) {
	if c.armed.Load() {
		c.cancel()
		c.after.Add(1)
	}
	return c.ReaderAt.ReadAt(p, offset)
}

// Passes at the same time and one after the other give the same blocks, of records in the order of the file.
func TestPassesAreAlike(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		cloud := openBytes(t, content, name)
		want, err := readCloud(cloud, 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(want.cuts) < 2*6 && !strings.HasPrefix(name, "ascii") {
			t.Errorf("%s: %d blocks", name, len(want.cuts)/2)
		}
		for i := 0; i < len(want.cuts); i += 2 {
			if want.cuts[i] != i/2 || want.cuts[i+1] > scan.BlockPoints {
				t.Errorf("%s: block %d is number %d with %d points", name, i/2, want.cuts[i], want.cuts[i+1])
			}
		}
		var passes sync.WaitGroup
		for _, workers := range []int{1, 2, 3, 8} {
			passes.Go(func() {
				got, err := readCloud(cloud, workers)
				if err != nil {
					t.Error(err)
					return
				}
				if d := different(want, got); d != "" {
					t.Errorf("%s: %d workers: differs in %s", name, workers, d)
				}
			})
		}
		passes.Wait()
	}
}

// A visit may do with its block what it likes.
func TestVisitMayAlterItsBlock(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		cloud := openBytes(t, content, name)
		want, err := readCloud(cloud, 1)
		if err != nil {
			t.Fatal(err)
		}
		_, err = cloud.Read(context.Background(), scan.Reading{Workers: 2}, func(b *scan.Block) error {
			for i := range b.XYZ {
				b.XYZ[i] = math.NaN()
			}
			for i := range b.Weight {
				b.Weight[i] = -1
			}
			b.XYZ = b.XYZ[:0]
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		got, err := readCloud(cloud, 2)
		if err != nil {
			t.Fatal(err)
		}
		if d := different(want, got); d != "" {
			t.Errorf("%s: differs in %s", name, d)
		}
	}
}

// Progress only grows, comes from one goroutine at a time and goes up to the size of the file.
func TestProgress(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		cloud := openBytes(t, content, name)
		for _, workers := range []int{1, 4} {
			var last, calls, inside int64
			_, err := cloud.Read(context.Background(), scan.Reading{Workers: workers, Progress: func(done, total int64) {
				calls++
				if atomic.AddInt64(&inside, 1) != 1 || done < last || done > total || total != int64(len(content)) {
					t.Errorf("%s: %d after %d of %d", name, done, last, total)
				}
				last = done
				atomic.AddInt64(&inside, -1)
			}}, func(*scan.Block) error { return nil })
			if err != nil {
				t.Fatal(err)
			}
			if calls == 0 || last != int64(len(content)) {
				t.Errorf("%s: %d calls, the last at %d of %d bytes", name, calls, last, len(content))
			}
		}
	}
}

// What the file's own reader says is passed on.
func TestReadersErrors(t *testing.T) {
	for name, content := range manyBlocks(t, 6) {
		for _, good := range []int{0, 1, 5} {
			file := &failing{ReaderAt: bytes.NewReader(content), good: good}
			cloud, err := scan.Open(file, int64(len(content)), scan.Options{Name: name})
			if err == nil {
				_, err = cloud.Read(context.Background(), scan.Reading{Workers: 2}, func(*scan.Block) error { return nil })
			}
			var fault *scan.Error
			if errors.As(err, &fault) || !errors.Is(err, errDisk) && file.failed {
				t.Errorf("%s after %d reads: %v", name, good, err)
			}
		}
	}
}

var errDisk = errors.New("disk")

type failing struct {
	io.ReaderAt
	mu     sync.Mutex
	good   int
	failed bool
}

func (f *failing) ReadAt(p []byte, offset int64) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.good--; f.good < 0 {
		f.failed = true
		return 0, errDisk
	}
	return f.ReaderAt.ReadAt(p, offset)
}
