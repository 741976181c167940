package records

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"
)

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

// folder draws the name of a folder that is there, or the root's.
func (c changes) folder() string {
	name := c.file()
	parts := strings.Split(name, "/")
	return path.Join(append([]string{"."}, parts[:rapid.IntRange(0, len(parts)-1).Draw(c.T, "depth")]...)...)
}

// one draws one of some texts.
func (c changes) one(of string, texts ...string) string {
	return rapid.SampledFrom(texts).Draw(c.T, of)
}

// change makes one change.
func (c changes) change() {
	if len(c.MapFS) == 0 {
		c.write(SiteFile, c.good[SiteFile].Data, 0o644)
	}
	kinds := []struct {
		name   string
		weight int
		make   func()
	}{
		{"example", 3, c.example},
		{"heal", 2, c.heal},
		{"heal all", 1, c.healAll},
		{"damage", 1, c.damage},
		{"rewrite", 1, c.rewrite},
		{"restore", 1, c.restore},
		{"word", 3, c.word},
		{"site", 1, c.site},
		{"remove", 1, func() { c.remove(c.file()) }},
		{"remove folder", 1, c.removeFolder},
		{"rename", 1, func() { c.rename(true) }},
		{"copy", 2, func() { c.rename(false) }},
		{"rename folder", 2, c.renameFolder},
		{"number", 2, c.number},
		{"subject", 1, c.subject},
		{"spelling", 2, c.spelling},
		{"amend", 2, c.amend},
		{"swap", 1, c.swap},
		{"link", 1, c.link},
		{"pipe", 1, c.pipe},
		{"attachment", 2, c.attachment},
		{"deny", 1, c.deny},
		{"allow", 1, c.allow},
		{"permit", 1, c.permitted},
		{"touch", 1, c.touch},
	}
	var names []string
	makes := map[string]func(){}
	for _, k := range kinds {
		names = append(names, slices.Repeat([]string{k.name}, k.weight)...)
		makes[k.name] = k.make
	}
	makes[c.one("change", names...)]()
}

// example lays the files of one of the examples over what is there.
func (c changes) example() {
	for _, f := range rapid.SampledFrom(c.pieces).Draw(c.T, "example") {
		if f.text == "" && c.MapFS[f.name] != nil {
			c.remove(f.name)
		} else {
			c.write(f.name, []byte(f.text), 0o644)
		}
	}
}

func (c changes) heal() {
	name := c.one("file", slices.Sorted(maps.Keys(c.good))...)
	c.write(name, c.good[name].Data, 0o644)
}

func (c changes) healAll() {
	for _, name := range sortedKeys(c.MapFS) {
		if c.good[name] == nil && rapid.Bool().Draw(c.T, "away") {
			c.remove(name)
		}
	}
	for _, name := range sortedKeys(c.good) {
		if f := c.good[name]; c.MapFS[name] == nil || !slices.Equal(c.MapFS[name].Data, f.Data) {
			c.write(name, f.Data, 0o644)
		}
	}
}

func (c changes) damage() {
	name := c.toml()
	if f := c.MapFS[name]; len(f.Data) > 0 && f.Mode.IsRegular() {
		c.write(name, corrupted(c.T, f.Data), 0o644)
	}
}

// rewrite writes another digit: the file is as long as before, and perhaps
// written in the same second.
func (c changes) rewrite() {
	name := c.toml()
	c.write(name, c.otherDigit(name), c.MapFS[name].Mode)
}

func (c changes) otherDigit(name string) []byte {
	data := slices.Clone(c.MapFS[name].Data)
	var digits []int
	for i, b := range data {
		if b >= '0' && b <= '9' {
			digits = append(digits, i)
		}
	}
	if len(digits) > 0 {
		data[rapid.SampledFrom(digits).Draw(c.T, "digit")] = byte('0' + rapid.IntRange(0, 9).Draw(c.T, "to"))
	}
	return data
}

// restore writes another digit, and sets a time of modification as programs do
// that unpack or copy: one long ago, one that has not come yet, or the same as
// before.
func (c changes) restore() {
	name := c.toml()
	modified := c.clock.Add(rapid.SampledFrom([]time.Duration{-1000 * time.Hour, time.Hour}).Draw(c.T, "off") - time.Duration(c.inodes)*time.Second)
	if identified && rapid.Bool().Draw(c.T, "same time") {
		modified = c.MapFS[name].ModTime
	}
	c.writeAt(name, c.otherDigit(name), c.MapFS[name].Mode, modified)
}

// word makes records refer to something else.
func (c changes) word() {
	name := c.toml()
	from := c.one("from", "scan-02", "bar-3s", "bar-weekly", "bracket-17", "opened", "K-113", "diameter", "distance", `"mk"`, "2026", "2025", "+01:00", "+02:00", "review", "HS-")
	to := c.one("to", "scan-02", "scan-03", "bar-3s", "bar-weekly", "bar-4", "form", "2027", "Scan-02")
	if f := c.MapFS[name]; f.Mode.IsRegular() {
		c.write(name, []byte(strings.ReplaceAll(string(f.Data), from, to)), 0o644)
	}
}

func (c changes) site() {
	if rapid.IntRange(0, 2).Draw(c.T, "away") == 0 {
		c.remove(SiteFile)
		return
	}
	zone := c.one("zone", "America/New_York", "Nowhere/At-All", "UTC")
	c.write(SiteFile, []byte(strings.ReplaceAll(string(c.good[SiteFile].Data), "Europe/Berlin", zone)), 0o644)
}

func (c changes) removeFolder() {
	dir := c.folder()
	for _, name := range sortedKeys(c.MapFS) {
		if dir != "." && inside(name, dir) {
			c.remove(name)
		}
	}
}

func (c changes) rename(away bool) {
	name := c.toml()
	f := c.MapFS[name]
	places := append(renamings(name), path.Join(path.Dir(name), "README.md"), "archive/deep/"+path.Base(name), "check/"+path.Base(name), name+"/"+path.Base(name))
	to := c.one("to", slices.DeleteFunc(places, func(to string) bool { return !fs.ValidPath(to) })...)
	if away {
		c.move(name, to)
	} else if !inside(to, name) {
		c.write(to, f.Data, f.Mode)
	}
}

// renameFolder moves a folder to another name or another place.
func (c changes) renameFolder() {
	from := c.folder()
	if from == "." {
		return
	}
	dir, name := path.Split(from)
	to := c.one("to", dir+"scan-03", dir+"Scan-02", dir+"bar-3s", dir+"2025", dir+"2026", dir+"."+name, dir+strings.ToUpper(name), dir+"old/"+name,
		name, "checks/"+name, "certificates/"+name, "events/scan-02", "events/scan-03", "jobs", "devices", "archive", "templates/"+name)
	if !inside(to, from) && !inside(from, to) {
		c.moveFolder(from, to)
	}
}

// number makes a second record of the same name.
func (c changes) number() {
	name := c.toml()
	head, _ := numbered(name)
	f := c.MapFS[name]
	c.write(fmt.Sprintf("%s-%d.toml", head, rapid.IntRange(2, 4).Draw(c.T, "n")), f.Data, f.Mode)
}

// subject makes the same record of another subject.
func (c changes) subject() {
	name := c.toml()
	f := c.MapFS[name]
	to := strings.ReplaceAll(name, "scan-02", c.one("subject", "scan-03", "Scan-02", "bar-3s"))
	c.write(to, []byte(strings.ReplaceAll(string(f.Data), "scan-02", "scan-03")), f.Mode)
}

// spelling renames a file, or makes a second one, with a name that differs only
// in upper and lower case.
func (c changes) spelling() {
	name := c.toml()
	f := c.MapFS[name]
	dir, base := path.Split(strings.TrimSuffix(name, suffix))
	to := dir + c.one("spelling", strings.ToUpper(base), strings.ToLower(base), strings.Replace(base, "t", "T", 1), strings.Replace(base, "T", "t", 1))
	if strings.HasSuffix(name, suffix) {
		to += suffix
	}
	if rapid.Bool().Draw(c.T, "rename") && to != name {
		c.move(name, to)
	} else {
		c.write(to, f.Data, f.Mode)
	}
}

// amend makes a record that corrects another one, or itself.
func (c changes) amend() {
	name := c.toml()
	f := c.MapFS[name]
	head, _ := numbered(name)
	of := c.one("of", name, c.toml(), head, checkFile)
	text := fmt.Sprintf("amends = %q\nreason = \"x\"\n", of)
	c.write(fmt.Sprintf("%s-%d%s", head, rapid.IntRange(2, 5).Draw(c.T, "n"), suffix), append([]byte(text), f.Data...), f.Mode)
}

// swap lets two files change places; nothing is written.
func (c changes) swap() {
	a, b := c.toml(), c.toml()
	if a == b || !identified && len(c.MapFS[a].Data) == len(c.MapFS[b].Data) {
		return
	}
	f := *c.MapFS[a]
	c.move(b, a)
	c.put(b, &f, inodeOf(&f))
}

func (c changes) link() {
	name := c.file()
	to := c.one("target", "x.toml", "../elsewhere.toml", path.Base(c.file()), "/etc/passwd", "../../../away", "K-113.pdf")
	places := []string{name, path.Dir(name), path.Join(path.Dir(name), "linked.toml")}
	c.write(c.one("at", slices.DeleteFunc(places, func(s string) bool { return s == "." })...), []byte(to), fs.ModeSymlink|0o777)
}

func (c changes) pipe() {
	name := c.file()
	c.write(name, c.MapFS[name].Data, fs.ModeNamedPipe)
}

// attachment writes what records name, or beside it, or takes it away.
func (c changes) attachment() {
	name := c.one("name", attachedFile, "certificates/bar-3s/other.pdf", "archive/K-113.pdf", "checks/scan-02/2026/scan.ply", "checks/scan-02/2026/notes", "jobs/2026", "checks/scan-03")
	if c.MapFS[name] != nil && rapid.Bool().Draw(c.T, "away") {
		c.remove(name)
		return
	}
	c.write(name, []byte(c.one("content", "x", "yy", string(c.good[attachedFile].Data), string(c.good[checkFile].Data))), 0o644)
}

func (c changes) deny() {
	name := c.one("denied", c.file(), c.folder(), "checks", "devices", "certificates")
	c.denied[name] = true
	c.permit(name, 0)
}

func (c changes) allow() {
	for _, name := range sortedKeys(c.denied) {
		delete(c.denied, name)
		c.permit(name, 0o644)
	}
}

// permitted changes permissions that keep nobody out.
func (c changes) permitted() {
	c.permit(c.file(), rapid.SampledFrom([]fs.FileMode{0o600, 0o444, 0o755}).Draw(c.T, "mode"))
}

func (c changes) touch() {
	name := c.file()
	c.write(name, c.MapFS[name].Data, c.MapFS[name].Mode)
}

// passing draws how much time passes between two changes.
func passing(t *rapid.T) time.Duration {
	return rapid.SampledFrom([]time.Duration{0, time.Millisecond, time.Second, 3 * time.Second, time.Hour}).Draw(t, "passes")
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
