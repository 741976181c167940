package scan_test

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"plumbrule/records/scan"
)

// Whatever the bytes and whatever the name: no panic, no more memory than a few blocks, no number that is not finite, and by
// four workers the same as by one, errors included.
func FuzzOpen(f *testing.F) {
	names := []string{"a.ply", "a.stl", "a.obj", "a.pcd", "a.e57", "a.xyz", "a.pts", "a.csv", "a", "a.ply.gz"}
	err := fs.WalkDir(os.DirFS("testdata"), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil || info.Size() > 1<<16 || d.Name() == "NOTICE" {
			return err
		}
		content, err := os.ReadFile(filepath.Join("testdata", path))
		for i, name := range names {
			if strings.HasSuffix(strings.ToLower(d.Name()), strings.TrimPrefix(name, "a")) {
				f.Add(uint8(i), content)
				break
			}
		}
		return err
	})
	if err != nil {
		f.Fatal(err)
	}
	for i := range names {
		f.Add(uint8(i), []byte("solid\nfacet\nouter loop\nvertex 1 2 3\nvertex 1 2 4\nvertex 2 2 3\nendloop\nendfacet\nendsolid\n"))
		f.Add(uint8(i), []byte("ply\nformat ascii 1.0\nelement vertex 1\nproperty list uchar int n\nproperty float x\nproperty float y\nproperty float z\nend_header\n1 7 1 2 3\n"))
		f.Add(uint8(i), []byte("v 1 2 3\nv 1 2 4 \\\n 5\nf 1 2 1\n"))
		f.Add(uint8(i), []byte("1 2 3\n4 5 6\n"))
	}
	f.Fuzz(func(t *testing.T, name uint8, content []byte) {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		one, err := readBytes(content, names[int(name)%len(names)], 1)
		runtime.ReadMemStats(&after)
		if taken := after.TotalAlloc - before.TotalAlloc; taken > 32<<20+100*uint64(len(content)) {
			t.Fatalf("took %d bytes of memory for %d", taken, len(content))
		}
		four, err4 := readBytes(content, names[int(name)%len(names)], 4)
		if err != nil || err4 != nil {
			if err == nil || err4 == nil || err.Error() != err4.Error() {
				t.Fatalf("one worker: %v; four: %v", err, err4)
			}
			if _, fault := errors.AsType[*scan.Error](err); !fault {
				t.Fatalf("%v is no fault of the file", err)
			}
			return
		}
		if d := different(one, four); d != "" {
			t.Fatalf("one worker and four differ in %s", d)
		}
		if one.tally.Points == 0 || int64(len(one.xyz)) != 3*one.tally.Points || len(one.weight) > 0 && int64(len(one.weight)) != one.tally.Points {
			t.Fatalf("%d coordinates, %d weights, %+v", len(one.xyz), len(one.weight), one.tally)
		}
		for _, v := range append(one.xyz, one.weight...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%g was given", v)
			}
		}
	})
}
