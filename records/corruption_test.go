package records

import (
	"bytes"
	"io/fs"
	"maps"
	"path"
	"slices"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

// accounted fails when a record file is neither in the set nor in Unreadable,
// or in both, or when something is unreadable without an error being told.
func accounted(t rapid.TB, files fs.FS, set *Set, found []Diagnostic) {
	t.Helper()
	where := map[string]int{}
	count := func(file string) { where[file]++ }
	if set.Site != nil {
		count(set.Site.File)
	}
	for id, r := range set.Devices {
		if r.ID != id {
			t.Errorf("device %s under id %s", r.ID, id)
		}
		count(r.File)
	}
	for _, r := range set.Artifacts {
		count(r.File)
	}
	for _, r := range set.Procedures {
		count(r.File)
	}
	for _, list := range set.Certificates {
		for _, r := range list {
			count(r.File)
		}
	}
	for _, list := range set.Checks {
		for _, r := range list {
			count(r.File)
		}
	}
	for _, list := range set.Events {
		for _, r := range list {
			count(r.File)
		}
	}
	for _, r := range set.Jobs {
		count(r.File)
	}
	for _, list := range set.Cases {
		for _, r := range list {
			count(r.File)
		}
	}
	faulty := map[string]bool{}
	for _, d := range found {
		if d.Severity == Error {
			faulty[d.File] = true
		}
	}
	listed := map[Unreadable]bool{}
	for _, u := range set.Unreadable { // a file once for each thing it may be about
		if listed[u] {
			t.Errorf("listed twice: %+v", u)
		}
		listed[u] = true
		if !faulty[u.File] || u.Code == "" || u.Message == "" {
			t.Errorf("%s is unreadable, and no error says why: %+v", u.File, u)
		}
	}
	for _, file := range slices.Compact(filesOfAll(set.Unreadable)) {
		count(file)
		delete(faulty, file)
	}
	for file := range faulty {
		t.Errorf("%s has an error and is not unreadable", file)
	}
	err := fs.WalkDir(files, ".", func(name string, e fs.DirEntry, err error) error {
		if _, ok := placeOf(name); err == nil && !e.IsDir() && (ok && !hidden(path.Base(name)) || name == SiteFile) && where[name] != 1 {
			t.Errorf("%s is in the set %d times", name, where[name])
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func filesOfAll(list []Unreadable) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = list[i].File
	}
	return out
}

// corrupted draws one damage to a text.
func corrupted(t *rapid.T, text []byte) []byte {
	text = bytes.Clone(text)
	place := func() int { return rapid.IntRange(0, len(text)-1).Draw(t, "place") }
	lines := bytes.SplitAfter(text, []byte("\n"))
	line := func(name string) int { return rapid.IntRange(0, len(lines)-1).Draw(t, name) }
	switch rapid.SampledFrom([]string{"truncate", "byte", "delete line", "repeat line", "swap values", "insert", "swap lines"}).Draw(t, "damage") {
	case "truncate":
		return text[:place()]
	case "byte":
		text[place()] = rapid.Byte().Draw(t, "byte")
	case "delete line":
		i := line("line")
		return bytes.Join(slices.Delete(lines, i, i+1), nil)
	case "repeat line":
		i := line("line")
		return bytes.Join(slices.Insert(lines, i, lines[i]), nil)
	case "swap values":
		i, j := line("line"), line("other")
		left, a, _ := bytes.Cut(lines[i], []byte("= "))
		right, b, _ := bytes.Cut(lines[j], []byte("= "))
		lines[i], lines[j] = slices.Concat(left, []byte("= "), b), slices.Concat(right, []byte("= "), a)
		return bytes.Join(lines, nil)
	case "swap lines":
		i, j := line("line"), line("other")
		lines[i], lines[j] = lines[j], lines[i]
		return bytes.Join(lines, nil)
	case "insert":
		i := place()
		return slices.Insert(text, i, []byte(rapid.SampledFrom([]string{
			"\n", "=", "\"", "[", "]", "[[", "\r\n", "#", ",", "\x00", "\ufeff", "-", "9", "e9", "nan", "'''", "\"\"\"", "\\u0000", "= 1\n", "<<<<<<< a\n",
		}).Draw(t, "piece"))...)
	}
	return text
}

// TestNothingDisappears damages files of a good repository and looks for every
// one of them afterwards.
func TestNothingDisappears(t *testing.T) {
	good := goodFiles(t)
	names := slices.DeleteFunc(slices.Sorted(maps.Keys(good)), func(name string) bool {
		_, ok := placeOf(name)
		return !ok && name != SiteFile
	})
	rapid.Check(t, func(t *rapid.T) {
		files := maps.Clone(good)
		for range rapid.IntRange(1, 3).Draw(t, "damages") {
			name := rapid.SampledFrom(names).Draw(t, "file")
			text := files[name].Data
			if len(text) > 0 {
				text = corrupted(t, text)
			}
			files[name] = &fstest.MapFile{Data: text, Mode: 0o644}
		}
		set, found := Load(files, Options{At: evaluated})
		accounted(t, files, set, found)
		for _, d := range found {
			if d.Message == "" || d.Mend == "" || d.File == "" {
				t.Errorf("incomplete: %+v", d)
			}
		}
		if !slices.Contains(set.DeviceIDs(), "scan-02") {
			t.Errorf("scan-02 is no longer among the devices %v", set.DeviceIDs())
		}
	})
}

// TestLoadIsDeterministic loads a repository full of faults several times.
func TestLoadIsDeterministic(t *testing.T) {
	files := newMemoryFS(manyChecks(500))
	for name, text := range files.files {
		if len(name)%3 == 0 {
			files.files[name] = text + "\nnonsense = 1\n"
		}
	}
	_, first := Load(files, Options{})
	if len(first) == 0 {
		t.Fatal("no diagnostics")
	}
	for range 10 {
		if _, again := Load(files, Options{}); printed(again) != printed(first) {
			t.Fatal("another answer")
		}
	}
}

// FuzzCheck reads any bytes as a check.
func FuzzCheck(f *testing.F) {
	good := goodFiles(f)
	f.Add(good[checkFile].Data)
	f.Add([]byte(nil))
	f.Add([]byte("reading = [{feature = 1}, {values = [nan]}]"))
	f.Add([]byte("[conditions]\nartifact-temperature = \"1e400 °C\"\n[[reading]]\n[reading.x]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		files := maps.Clone(good)
		files[checkFile] = &fstest.MapFile{Data: text, Mode: 0o644}
		set, found := Load(files, Options{At: evaluated})
		accounted(t, files, set, found)
	})
}
