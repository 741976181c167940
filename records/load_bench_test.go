package records

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"plumbrule/records/calendar"
)

// memoryFS is a file system of texts with as little cost of its own as
// possible, so that the benchmarks time reading and not the file system.
type memoryFS struct {
	files   map[string]string
	folders map[string][]fs.DirEntry
}

func newMemoryFS(files map[string]string) *memoryFS {
	m := &memoryFS{files: files, folders: map[string][]fs.DirEntry{}}
	seen := map[string]bool{}
	for name := range files {
		m.folders[path.Dir(name)] = append(m.folders[path.Dir(name)], &memoryInfo{name: path.Base(name)})
		for dir := path.Dir(name); dir != "." && !seen[dir]; dir = path.Dir(dir) {
			seen[dir] = true
			m.folders[path.Dir(dir)] = append(m.folders[path.Dir(dir)], &memoryInfo{name: path.Base(dir), mode: fs.ModeDir})
		}
	}
	for _, list := range m.folders {
		slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	}
	return m
}

type memoryInfo struct {
	name string
	mode fs.FileMode
}

func (i *memoryInfo) Name() string               { return i.name }
func (i *memoryInfo) Size() int64                { return 0 }
func (i *memoryInfo) Mode() fs.FileMode          { return i.mode }
func (i *memoryInfo) Type() fs.FileMode          { return i.mode }
func (i *memoryInfo) ModTime() time.Time         { return time.Time{} }
func (i *memoryInfo) IsDir() bool                { return i.mode.IsDir() }
func (i *memoryInfo) Sys() any                   { return nil }
func (i *memoryInfo) Info() (fs.FileInfo, error) { return i, nil }

type memoryFile struct {
	memoryInfo
	rest string
}

func (f *memoryFile) Stat() (fs.FileInfo, error) { return &f.memoryInfo, nil }
func (f *memoryFile) Close() error               { return nil }
func (f *memoryFile) Read(p []byte) (int, error) {
	if f.rest == "" {
		return 0, io.EOF
	}
	n := copy(p, f.rest)
	f.rest = f.rest[n:]
	return n, nil
}

func (m *memoryFS) Open(name string) (fs.File, error) {
	text, ok := m.files[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &memoryFile{memoryInfo{name: path.Base(name)}, text}, nil
}

func (m *memoryFS) ReadDir(name string) ([]fs.DirEntry, error) {
	list, ok := m.folders[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return list, nil
}

// manyChecks is a repository of that many checks of ten devices, each check
// about 600 bytes with five readings.
func manyChecks(checks int) map[string]string {
	files := map[string]string{
		"plumbrule.toml": "format = 1\nname = \"Works\"\ntime-zone = \"Europe/Berlin\"\nunit = \"mm\"\n",
		"artifacts/bar-3s.toml": `kind = "ball bar"
serial = "BB-7"
in-service = 2025-01-10
expansion = "11.5e-6/K"
expansion-uncertainty = "±1e-6/K (rectangular)"
entered = 2025-01-10T09:00:00+01:00
by = "mk"
[calibration]
interval = "24 months"
[[feature]]
name = "A"
quantity = "diameter"
nominal = "30 mm"
[[feature]]
name = "B"
quantity = "diameter"
nominal = "30 mm"
[[feature]]
name = "C"
quantity = "diameter"
nominal = "30 mm"
[[feature]]
name = "A-B"
quantity = "distance"
nominal = "400 mm"
[[feature]]
name = "A-C"
quantity = "distance"
nominal = "800 mm"
`,
		"procedures/bar-weekly.toml": `title = "Weekly check"
revision = "2"
artifact-kind = "ball bar"
entered = 2025-01-10T09:00:00+01:00
by = "mk"
[[feature]]
name = "A"
[[feature]]
name = "B"
[[feature]]
name = "C"
[[feature]]
name = "A-B"
[[feature]]
name = "A-C"
`,
	}
	const devices = 10
	for d := range devices {
		files[fmt.Sprintf("devices/scan-%02d.toml", d)] = fmt.Sprintf(`kind = "handheld scanner"
serial = "HS-%d"
in-service = 2025-03-03
scale-expansion = "none"
entered = 2025-03-03T09:00:00+01:00
by = "mk"
[calibration]
interval = "12 months"
[[check]]
procedure = "bar-weekly"
interval = "7 days"
[[limit]]
quantity = "diameter"
mpe = "30 µm"
[[limit]]
quantity = "distance"
mpe = "25 µm + 50 µm/m"
length = "path"
`, d)
	}
	zone, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		panic(err)
	}
	for i := range checks {
		device := fmt.Sprintf("scan-%02d", i%devices)
		at := time.Date(2020, 1, 1+i/devices, 8, 0, 0, 0, zone)
		name := CheckPath(&Check{Device: device, Procedure: "bar-weekly", Time: at}, zone)
		files[name] = fmt.Sprintf(`device = %q
artifact = "bar-3s"
procedure = "bar-weekly"
time = %s
entered = %s
by = "mk"
unit = "mm"

[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"

[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.99%02d]

[[reading]]
feature = "B"
values = [29.9977, 30.0002, 29.9996]

[[reading]]
feature = "C"
values = [30.0021, 30.0013, 30.0008]

[[reading]]
feature = "A-B"
values = [400.012]
path = "1.4 m"

[[reading]]
feature = "A-C"
values = [800.031]
path = "2.6 m"
`, device, at.Format(time.RFC3339), at.Add(10*time.Minute).Format(time.RFC3339), i%100)
	}
	return files
}

// BenchmarkLoad times reading from memory; the metric ns/check and the live
// heap per check after a collection are what matters.
func BenchmarkLoad(b *testing.B) {
	const checks = 20_000
	benchmarkLoad(b, newMemoryFS(manyChecks(checks)), checks)
}

// BenchmarkLoadFolder times reading from a folder of the machine.
func BenchmarkLoadFolder(b *testing.B) {
	const checks = 10_000
	dir := b.TempDir()
	for name, text := range manyChecks(checks) {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	benchmarkLoad(b, os.DirFS(dir), checks)
}

func benchmarkLoad(b *testing.B, fsys fs.FS, checks int) {
	b.Helper()
	b.ReportAllocs()
	var set *Set
	for b.Loop() {
		var found []Diagnostic
		set, found = Load(fsys, Options{})
		if len(found) > 0 && HasErrors(found) {
			b.Fatalf("%d diagnostics, the first: %s", len(found), found[0])
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(checks), "ns/check")
	full := liveHeap()
	if n := set.Count(); n < checks {
		b.Fatalf("%d records", n)
	}
	runtime.KeepAlive(set) // and no longer
	b.ReportMetric(float64(full-liveHeap())/float64(checks), "heap-B/check")
}

// liveHeap is what the heap holds after a collection.
func liveHeap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
