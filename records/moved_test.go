package records

import (
	"maps"
	"path"
	"slices"
	"strings"
	"testing"
)

// renamings are ways in which a file gets lost among others.
func renamings(file string) []string {
	dir, base := path.Split(file)
	top, rest, _ := strings.Cut(file, "/")
	out := []string{
		file + "~", file + ".bak", file + ".txt", file + ".orig", file + " ", dir + "." + base, dir + "#" + base + "#", strings.TrimSuffix(file, suffix), dir + strings.TrimSuffix(base, suffix) + ".TOML",
		dir + "old/" + base, dir + ".old/" + base, top + "/" + base, base, "old/" + file, top + "-old/" + rest,
	}
	for _, folder := range recordFolders() {
		if folder != top {
			out = append(out, folder+"/"+rest, folder+"/"+base, folder+"/bar-3s/"+base)
		}
	}
	if ofSubject(meantPlace(file).kind) {
		_, below, _ := strings.Cut(rest, "/")
		out = append(out, top+"/bar-3s/"+below, top+"/scan-02/"+below, top+"/Scan-02/"+below, top+"/scan-02 /"+below, top+"/scan-01/"+below)
	}
	return slices.DeleteFunc(out, func(name string) bool { return name == file })
}

// TestNoRecordMovesAway moves every record of the good repository to places
// where it is not read. It must be told, and unless it is told as a warning,
// what the record is about must be unjudgeable.
func TestNoRecordMovesAway(t *testing.T) {
	good := goodFiles(t)
	tried := 0
	for file := range good {
		p, ok := placeOf(file)
		if !ok {
			continue
		}
		for _, name := range renamings(file) {
			tried++
			files := maps.Clone(good)
			files[name] = files[file]
			delete(files, file)
			set, found := Load(files, Options{At: evaluated})
			accounted(t, files, set, found)
			at := slices.IndexFunc(found, func(d Diagnostic) bool { return d.File == name || strings.HasPrefix(name, d.File+"/") })
			if at < 0 && ofSubject(p.kind) || len(found) == 0 {
				t.Errorf("%s at %s is not told:\n%s", file, name, printed(found))
				continue
			}
			if !ofSubject(p.kind) || found[at].Severity == Warning {
				continue
			}
			if !slices.ContainsFunc(set.Unreadable, func(u Unreadable) bool { return u.File == name && u.Subject == p.subject }) {
				t.Errorf("%s at %s: %s is judged without it:\n%v", file, name, p.subject, unreadable(set))
			}
		}
	}
	if tried < 150 {
		t.Errorf("only %d tried", tried)
	}
}
