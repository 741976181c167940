package records

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// living is a repository that changes, with a clock whose seconds its files
// keep.
type living struct {
	fstest.MapFS
	clock  time.Time
	denied map[string]bool // names that cannot be opened
	named  map[string]bool // what was changed
}

func (l *living) Open(name string) (fs.File, error) {
	if l.denied[name] {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.Open(name)
}

func (l *living) ReadDir(name string) ([]fs.DirEntry, error) {
	if l.denied[name] {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.ReadDir(name)
}

func (l *living) ReadFile(name string) ([]byte, error) {
	if l.denied[name] {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.ReadFile(name)
}

func (l *living) write(name string, data []byte, mode fs.FileMode) {
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if l.MapFS[dir] != nil {
			l.remove(dir) // a file where a folder is to be
		}
	}
	for other := range l.MapFS {
		if strings.HasPrefix(other, name+"/") {
			l.remove(other)
		}
	}
	l.MapFS[name] = &fstest.MapFile{Data: data, Mode: mode, ModTime: l.clock.Truncate(time.Second)}
	l.named[name] = true
}

func (l *living) remove(name string) {
	delete(l.MapFS, name)
	l.named[name] = true
	for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
		if _, err := l.MapFS.Stat(dir); err != nil {
			l.named[dir] = true // an empty folder is gone
		}
	}
}

// permit changes the permissions of a file.
func (l *living) permit(name string, may fs.FileMode) {
	l.named[name] = true
	if f := l.MapFS[name]; f != nil {
		l.MapFS[name] = &fstest.MapFile{Data: f.Data, Mode: f.Mode.Type() | may, ModTime: f.ModTime}
	}
}

// pieces are the files of all diagnostics' examples, by name: states of a
// repository in which something is wrong.
func pieces(tb testing.TB) [][]textFile {
	tb.Helper()
	names, err := filepath.Glob("testdata/diagnostics/*.txtar")
	if err != nil || len(names) < 100 {
		tb.Fatal(len(names), err)
	}
	var out [][]textFile
	for _, name := range names {
		a := readArchive(tb, name)
		files := slices.DeleteFunc(slices.Clone(a.files), func(f textFile) bool { return f.name == wantFile })
		for line := range strings.Lines(a.comment) {
			if name, found := strings.CutPrefix(strings.TrimSpace(line), "without "); found {
				files = append(files, textFile{name: name})
			}
		}
		if len(files) > 0 {
			out = append(out, files)
		}
	}
	return out
}

// changes draws changes of a living repository.
type changes struct {
	*rapid.T
	*living
	good   fstest.MapFS
	pieces [][]textFile
}

// file draws the name of a file that is there.
func (c changes) file() string {
	return rapid.SampledFrom(slices.Sorted(maps.Keys(c.MapFS))).Draw(c.T, "file")
}

func (c changes) toml() string {
	names := slices.DeleteFunc(slices.Sorted(maps.Keys(c.MapFS)), func(name string) bool { return !strings.HasSuffix(name, suffix) })
	if len(names) == 0 {
		return c.file()
	}
	return rapid.SampledFrom(names).Draw(c.T, "record")
}

func (c changes) change() {
	if len(c.MapFS) == 0 {
		c.write(SiteFile, c.good[SiteFile].Data, 0o644)
	}
	kind := rapid.SampledFrom([]string{
		"example", "example", "example", "heal", "heal", "heal all", "damage", "rewrite", "remove", "remove folder", "rename", "copy", "copy", "link", "deny", "allow",
		"word", "word", "word", "number", "number", "case", "touch", "folder", "amend", "attachment", "pipe", "site",
	}).Draw(c.T, "change")
	switch kind {
	case "example": // something from one of the examples
		files := rapid.SampledFrom(c.pieces).Draw(c.T, "example")
		for _, f := range files {
			if f.text == "" && c.MapFS[f.name] != nil {
				c.remove(f.name)
			} else {
				c.write(f.name, []byte(f.text), 0o644)
			}
		}
	case "heal":
		name := rapid.SampledFrom(slices.Sorted(maps.Keys(c.good))).Draw(c.T, "file")
		c.write(name, c.good[name].Data, 0o644)
	case "heal all":
		for _, name := range sortedKeys(c.MapFS) {
			if c.good[name] == nil && rapid.Bool().Draw(c.T, "away") {
				c.remove(name)
			}
		}
		for name, f := range c.good {
			if c.MapFS[name] == nil || !slices.Equal(c.MapFS[name].Data, f.Data) {
				c.write(name, f.Data, 0o644)
			}
		}
	case "damage":
		name := c.toml()
		if f := c.MapFS[name]; len(f.Data) > 0 && f.Mode.IsRegular() {
			c.write(name, corrupted(c.T, f.Data), 0o644)
		}
	case "rewrite": // another digit: as long as before, perhaps in the same second
		name := c.toml()
		data := slices.Clone(c.MapFS[name].Data)
		var digits []int
		for i, b := range data {
			if b >= '0' && b <= '9' {
				digits = append(digits, i)
			}
		}
		if len(digits) > 0 {
			data[rapid.SampledFrom(digits).Draw(c.T, "digit")] = byte('0' + rapid.IntRange(0, 9).Draw(c.T, "to"))
			c.write(name, data, c.MapFS[name].Mode)
		}
	case "remove":
		c.remove(c.file())
	case "remove folder":
		dir := path.Dir(c.file())
		for name := range c.MapFS {
			if dir != "." && inside(name, dir) {
				c.remove(name)
			}
		}
	case "rename", "copy":
		name := c.toml()
		f := c.MapFS[name]
		to := rapid.SampledFrom(append(renamings(name), path.Join(path.Dir(name), "README.md"), "archive/deep/"+path.Base(name), "check/"+path.Base(name), name+"/"+path.Base(name))).Filter(fs.ValidPath).Draw(c.T, "to")
		if kind == "rename" {
			c.remove(name)
		}
		if !inside(to, name) || c.MapFS[name] == nil {
			c.write(to, f.Data, f.Mode)
		}
	case "link":
		name := c.file()
		to := rapid.SampledFrom([]string{"x.toml", "../elsewhere.toml", path.Base(c.file()), "/etc/passwd", "../../../away", "K-113.pdf"}).Draw(c.T, "target")
		c.write(rapid.SampledFrom([]string{name, path.Dir(name), path.Join(path.Dir(name), "linked.toml")}).Filter(func(s string) bool { return s != "." }).Draw(c.T, "at"), []byte(to), fs.ModeSymlink|0o777)
	case "deny":
		name := rapid.SampledFrom([]string{c.file(), path.Dir(c.file()), "checks", "devices", "certificates"}).Draw(c.T, "denied")
		c.denied[name] = true
		c.permit(name, 0)
	case "allow":
		for name := range c.denied {
			delete(c.denied, name)
			c.permit(name, 0o644)
		}
	case "word": // another reference
		name := c.toml()
		text := string(c.MapFS[name].Data)
		from := rapid.SampledFrom([]string{"scan-02", "bar-3s", "bar-weekly", "bracket-17", "opened", "K-113", "diameter", "distance", `"mk"`, "2026", "2025", "+01:00", "+02:00", "review", "HS-"}).Draw(c.T, "from")
		to := rapid.SampledFrom([]string{"scan-02", "scan-03", "bar-3s", "bar-weekly", "bar-4", "form", "2027", "Scan-02"}).Draw(c.T, "to")
		if c.MapFS[name].Mode.IsRegular() {
			c.write(name, []byte(strings.ReplaceAll(text, from, to)), 0o644)
		}
	case "number": // a second one of the same name
		name := c.toml()
		head, _ := numbered(name)
		f := c.MapFS[name]
		c.write(fmt.Sprintf("%s-%d.toml", head, rapid.IntRange(2, 4).Draw(c.T, "n")), f.Data, f.Mode)
	case "case":
		name := c.toml()
		f := c.MapFS[name]
		to := path.Join(path.Dir(name), rapid.SampledFrom([]string{strings.ToUpper(path.Base(name)), strings.Replace(path.Base(name), "t", "T", 1), strings.Replace(path.Base(name), "T", "t", 1)}).Draw(c.T, "spelling"))
		c.write(strings.Replace(to, ".TOML", ".toml", 1), f.Data, f.Mode)
	case "touch":
		name := c.file()
		c.write(name, c.MapFS[name].Data, c.MapFS[name].Mode)
	case "folder": // of the same record, for another subject
		name := c.toml()
		f := c.MapFS[name]
		c.write(strings.ReplaceAll(name, "scan-02", rapid.SampledFrom([]string{"scan-03", "Scan-02", "bar-3s"}).Draw(c.T, "subject")), []byte(strings.ReplaceAll(string(f.Data), "scan-02", "scan-03")), f.Mode)
	case "amend":
		name := c.toml()
		f := c.MapFS[name]
		head, _ := numbered(name)
		of := rapid.SampledFrom([]string{name, c.toml(), head, "checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml"}).Draw(c.T, "of")
		c.write(head+"-"+fmt.Sprint(rapid.IntRange(2, 5).Draw(c.T, "n"))+suffix, append([]byte(fmt.Sprintf("amends = %q\nreason = \"x\"\n", of)), f.Data...), f.Mode)
	case "attachment":
		name := rapid.SampledFrom([]string{attachedFile, "certificates/bar-3s/other.pdf", "archive/K-113.pdf", "checks/scan-02/2026/scan.ply", "checks/scan-02/2026/notes", "jobs/2026", "checks/scan-03"}).Draw(c.T, "name")
		if c.MapFS[name] != nil && rapid.Bool().Draw(c.T, "away") {
			c.remove(name)
		} else {
			data := []byte(rapid.SampledFrom([]string{"x", "yy", string(c.good[attachedFile].Data), string(c.good[checkFile].Data)}).Draw(c.T, "content"))
			c.write(name, data, 0o644)
		}
	case "pipe":
		name := c.file()
		c.write(name, c.MapFS[name].Data, fs.ModeNamedPipe)
	case "site":
		if f := c.good[SiteFile]; rapid.Bool().Draw(c.T, "zone") {
			c.write(SiteFile, []byte(strings.ReplaceAll(string(f.Data), "Europe/Berlin", rapid.SampledFrom([]string{"America/New_York", "Nowhere/At-All", "UTC"}).Draw(c.T, "zone name"))), 0o644)
		} else {
			c.remove(SiteFile)
		}
	}
}

// follow tells an index what was changed, in one of the ways in which one may
// hear of it.
func (c changes) follow(t *rapid.T, x *Index) Change {
	named := sortedKeys(c.named)
	clear(c.named)
	switch rapid.SampledFrom([]string{"rescan", "names", "names", "folders", "both"}).Draw(t, "heard") {
	case "rescan":
		return x.Rescan()
	case "folders":
		for i, name := range named {
			if dir := path.Dir(name); dir != "." {
				named[i] = dir
			}
		}
	case "both":
		for _, name := range named {
			named = append(named, path.Dir(path.Dir(name)))
		}
	}
	change, err := x.Update(rapid.Permutation(named).Draw(t, "order")...)
	if err != nil {
		t.Fatal(err)
	}
	return change
}

// TestIndexIsLoad changes a repository at random and compares the index after
// each change with a load of the same files.
func TestIndexIsLoad(t *testing.T) {
	good, examples := goodFiles(t), pieces(t)
	rapid.Check(t, func(t *rapid.T) {
		l := &living{MapFS: fstest.MapFS{}, clock: evaluated, denied: map[string]bool{}, named: map[string]bool{}}
		c := changes{t, l, good, examples}
		for name, f := range good {
			l.write(name, f.Data, 0o644)
		}
		options := Options{At: evaluated, Attachments: rapid.Bool().Draw(t, "attachments"), CrossCheck: rapid.IntRange(0, 9).Draw(t, "cross-check") == 0}
		for range rapid.IntRange(0, 3).Draw(t, "before") {
			c.change()
		}
		clear(l.named)
		x := OpenIndex(l, options, func() time.Time { return l.clock })
		var kept []snapshot
		kept = append(kept, compared(t, x, l, options))
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			l.clock = l.clock.Add(rapid.SampledFrom([]time.Duration{0, time.Millisecond, time.Second, 3 * time.Second, time.Hour}).Draw(t, "passes"))
			for range rapid.IntRange(1, 3).Draw(t, "at once") {
				c.change()
			}
			before, _ := x.Set()
			change := c.follow(t, x)
			kept = append(kept, compared(t, x, l, options))
			after, _ := x.Set()
			if d := Difference(before, after); !slices.Equal(d.Subjects, change.Subjects) || d.Site != change.Site {
				t.Fatalf("%+v, and the sets differ in %+v", change, d)
			}
			unchangedElsewhere(t, change, kept[len(kept)-2].want, kept[len(kept)-1].want)
		}
		for i, s := range kept {
			if !reflect.DeepEqual(s.given, s.want) {
				t.Fatalf("set %d was changed after it was given", i)
			}
		}
	})
}

type snapshot struct{ given, want *Set }

func compared(t *rapid.T, x *Index, files fs.FS, options Options) snapshot {
	t.Helper()
	got, told := x.Set()
	want, wanted := Load(files, options)
	if !reflect.DeepEqual(told, wanted) {
		t.Fatalf("diagnostics (-load +index):\n%s", cmp.Diff(strings.Split(printed(wanted), "\n"), strings.Split(printed(told), "\n")))
	}
	if !reflect.DeepEqual(got, want) {
		t.Fatalf("sets differ (-load +index):\n%s", cmp.Diff(contents(want), contents(got)))
	}
	return snapshot{got, want}
}

// contents writes which records a set has, in their order.
func contents(s *Set) []string {
	var out []string
	lists := func(kind string, n int, id string, file func(int) string) {
		for i := range n {
			out = append(out, fmt.Sprintf("%s %s %d %s", kind, id, i, file(i)))
		}
	}
	out = append(out, fmt.Sprintf("site %+v", s.Site))
	for _, id := range sortedKeys(s.Devices) {
		out = append(out, "device "+id+fmt.Sprintf("%+v", s.Devices[id]))
	}
	for _, id := range sortedKeys(s.Artifacts) {
		out = append(out, "artifact "+id+fmt.Sprintf("%+v", s.Artifacts[id]))
	}
	for _, id := range sortedKeys(s.Procedures) {
		out = append(out, "procedure "+id+fmt.Sprintf("%+v", s.Procedures[id]))
	}
	for _, id := range sortedKeys(s.Certificates) {
		lists("certificate", len(s.Certificates[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Certificates[id][i]) })
	}
	for _, id := range sortedKeys(s.Checks) {
		lists("check", len(s.Checks[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Checks[id][i]) })
	}
	for _, id := range sortedKeys(s.Events) {
		lists("event", len(s.Events[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Events[id][i]) })
	}
	lists("job", len(s.Jobs), "", func(i int) string { return fmt.Sprintf("%+v", s.Jobs[i]) })
	for _, id := range sortedKeys(s.Cases) {
		lists("case", len(s.Cases[id]), id, func(i int) string { return fmt.Sprintf("%+v", s.Cases[id][i]) })
	}
	return append(out, fmt.Sprintf("%d unreadable %+v", len(s.Unreadable), s.Unreadable))
}

// unchangedElsewhere fails when a change does not name a subject about which
// two loads differ.
func unchangedElsewhere(t *rapid.T, change Change, before, after *Set) {
	t.Helper()
	if !change.Site && !reflect.DeepEqual(before.Site, after.Site) {
		t.Fatal("another site, and the change does not say so")
	}
	of := func(s *Set, id string) []any {
		var u []Unreadable
		for _, x := range s.Unreadable {
			if x.Subject == id && x.Kind != "procedure" && x.Kind != "job" && x.Kind != "case" {
				u = append(u, x)
			}
		}
		return []any{s.Devices[id], s.Artifacts[id], s.Certificates[id], s.Checks[id], s.Events[id], u}
	}
	ids := map[string]bool{}
	for _, s := range []*Set{before, after} {
		for _, id := range s.DeviceIDs() {
			ids[id] = true
		}
		for id := range s.Artifacts {
			ids[id] = true
		}
		for id := range s.Events {
			ids[id] = true
		}
	}
	for id := range ids {
		if !slices.Contains(change.Subjects, id) && !reflect.DeepEqual(of(before, id), of(after, id)) {
			t.Fatalf("%s has changed, and %+v does not say so", id, change)
		}
	}
	for id := range before.Cases {
		if !slices.Contains(change.Cases, id) && !reflect.DeepEqual(before.Cases[id], after.Cases[id]) {
			t.Fatalf("case %s has changed, and %+v does not say so", id, change)
		}
	}
}
