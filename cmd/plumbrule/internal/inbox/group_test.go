package inbox

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
)

// What a group of files is, goes by what is said of it.
func TestWhatBelongsTogether(t *testing.T) {
	drops := []records.Drop{{Name: "{device}+*.ply", Procedure: "bar-weekly", Artifact: "bar-800", By: "rs"}}
	for _, c := range []struct {
		what    string
		files   map[string]string
		after   time.Duration
		taken   string // names of the originals, in their order
		device  string
		refused string // names, and a part of the reason
		reason  string
		waiting string
	}{
		{what: "by a pattern", files: map[string]string{"scan-07+1.ply": "a"}, taken: "scan-07+1.ply", device: "scan-07"},
		{what: "the sidecar before the pattern", files: map[string]string{"scan-07+1.ply": "a", "scan-07+1.ply.toml": "device = \"scan-01\"\n"}, taken: "scan-07+1.ply", device: "scan-01"},
		{what: "the pattern after the sidecar", files: map[string]string{"scan-07+1.ply": "a", "scan-07+1.ply.toml": "note = \"cold\"\n"}, taken: "scan-07+1.ply", device: "scan-07"},
		{what: "in capitals", files: map[string]string{"BAR.PLY": "a", "BAR.PLY.TOML": said, "BAR.PLY.DONE": ""}, taken: "BAR.PLY", device: "scan-01"},
		{what: "listed", files: map[string]string{"a.ply": "a", "b.ply": "b", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, taken: "b.ply a.ply", device: "scan-01"},
		{what: "listed, in the name of one", files: map[string]string{"a.ply": "a", "b.ply": "b", "a.ply.toml": said + `scans = ["b.ply", "a.ply"]`}, taken: "b.ply a.ply", device: "scan-01"},
		{what: "readings alone", files: map[string]string{"typed.toml": said + "[[reading]]\nfeature = \"A\"\nvalues = [30.0]\n"}, taken: "typed.toml", device: "scan-01"},
		{what: "two sidecars", files: map[string]string{"a.ply": "a", "a.ply.toml": said, "b.toml": said + `scans = ["a.ply"]`}, refused: "a.ply a.ply.toml b.toml", reason: "Two sidecars speak of a.ply"},
		{what: "one sidecar for a stem", files: map[string]string{"a.ply": "a", "a.csv": "b", "a.toml": said}, after: 10 * time.Minute, refused: "a.toml a.csv a.ply", reason: "No file a has come"},
		{what: "not in its own list", files: map[string]string{"a.ply": "a", "b.ply": "b", "a.ply.toml": said + `scans = ["b.ply"]`}, refused: "b.ply a.ply a.ply.toml", reason: "lists scans, and not the file a.ply"},
		{what: "one has not come", files: map[string]string{"a.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, waiting: "a.ply c.toml"},
		{what: "one never comes", files: map[string]string{"a.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, after: 10 * time.Minute, refused: "a.ply c.toml", reason: "lists b.ply, which has not come"},
		{what: "the same scan twice", files: map[string]string{"a.ply": "a", "b.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, refused: "b.ply a.ply c.toml", reason: "b.ply and a.ply are the same scan"},
		{what: "outside", files: map[string]string{"c.toml": said + `scans = ["../plumbrule.toml"]`}, refused: "c.toml", reason: `"../plumbrule.toml" is no name of a file beside this one. See inbox/c.toml:5:10`},
		{what: "an unknown key", files: map[string]string{"a.ply": "a", "a.ply.toml": "devise = \"scan-01\"\n"}, refused: "a.ply a.ply.toml", reason: "See inbox/a.ply.toml:1:1."},
		{what: "a large sidecar", files: map[string]string{"a.ply": "a", "a.ply.toml": "# " + strings.Repeat("x", 1<<20)}, refused: "a.ply a.ply.toml", reason: "larger than 1024 kB"},
		{what: "binary sidecar", files: map[string]string{"a.ply": "a", "a.ply.toml": "\x00\x01\xff"}, refused: "a.ply a.ply.toml", reason: "cannot be used"},
		{what: "done, and nothing else", files: map[string]string{"a.ply.done": ""}, after: 10 * time.Minute, refused: "a.ply.done", reason: "It is about a file a.ply"},
		{what: "nothing in it", files: map[string]string{"a.ply": "", "a.ply.toml": said}, waiting: "a.ply a.ply.toml"},
		{what: "never anything in it", files: map[string]string{"a.ply": "", "a.ply.toml": said}, after: 10 * time.Minute, refused: "a.ply a.ply.toml", reason: "a.ply is empty"},
		{what: "nothing in it, and done", files: map[string]string{"a.ply": "", "a.ply.toml": said, "a.ply.done": ""}, refused: "a.ply a.ply.toml", reason: "is empty"},
		{what: "unfinished", files: map[string]string{"a.ply.part": "a", "b.TMP": "b", "c~": "c", "d.crdownload": "d"}, after: time.Hour, waiting: "a.ply.part b.TMP c~ d.crdownload"},
		{what: "nobody's business", files: map[string]string{".gitkeep": "", "README.md": "drop here", ".a.ply.swp": "x"}, after: time.Hour},
		{what: "control characters", files: map[string]string{"a\nb.ply": "a", "\x1b[31m.ply": "b"}, refused: "\x1b[31m.ply a\nb.ply", reason: "control characters"},
		{what: "a long name", files: map[string]string{strings.Repeat("a", 240) + ".ply": "a"}, refused: strings.Repeat("a", 240) + ".ply", reason: "longer than 200 bytes"},
		{what: "no UTF-8", files: map[string]string{"a\xff.ply": "a"}, refused: "a\xff.ply", reason: "no UTF-8"},
		{what: "hidden by dots", files: map[string]string{"..ply": "a", "...": "b"}, after: time.Hour},
	} {
		t.Run(c.what, func(t *testing.T) {
			w := newWorks(t)
			w.drops = drops
			w.restart()
			for name, text := range c.files {
				w.drop(name, text)
			}
			r := w.after(max(c.after, 5*time.Second))
			var taken, refused, waiting []string
			for _, x := range r.Taken {
				taken = append(taken, x.File)
			}
			for _, x := range r.Refused {
				refused = append(refused, x.File)
				if !strings.Contains(x.Reason, c.reason) && len(refused) == 1 {
					t.Errorf("the reason is %q, want %q", x.Reason, c.reason)
				}
				if _, err := os.Lstat(filepath.Join(w.root, x.Place)); err != nil {
					t.Error(err)
				}
			}
			for _, x := range r.Waiting {
				waiting = append(waiting, x.File)
			}
			for what, pair := range map[string][2]string{"taken": {strings.Join(taken, " "), c.taken}, "refused": {strings.Join(refused, " "), c.refused}, "waiting": {strings.Join(waiting, " "), c.waiting}} {
				if pair[0] != pair[1] {
					t.Errorf("%s is %q, want %q", what, pair[0], pair[1])
				}
			}
			if c.device != "" && (len(w.seen) != 1 || w.seen[0].Said.Device != c.device) {
				t.Errorf("said was %+v", w.seen)
			}
			if len(r.Trouble) > 0 {
				t.Errorf("%+v", r.Trouble)
			}
			list, err := w.box.Refused()
			if err != nil || (len(list) == 0) != (c.refused == "") {
				t.Errorf("refused lie %+v, %v", list, err)
			}
			for i := range list {
				if !strings.Contains(list[i].Reason, "no reason lies") || strings.HasSuffix(list[i].File, ".toml") {
					continue
				}
				t.Errorf("%+v", list[i])
			}
		})
	}
}

// A sidecar that is still written may speak of any file.
func TestPatternWaitsForSidecars(t *testing.T) {
	w := newWorks(t)
	w.drops = []records.Drop{{Name: "*.ply", Device: "scan-01", Procedure: "bar-weekly", Artifact: "bar-800", By: "rs"}}
	w.restart()
	w.drop("a.ply", "a")
	w.look()
	w.clock.at = w.clock.at.Add(4 * time.Second)
	w.drop("both.toml", said+`scans = ["a.ply", `)
	if r := w.after(2 * time.Second); len(r.Taken) > 0 || len(r.Waiting) != 2 {
		t.Errorf("%+v", r)
	}
	w.drop("both.toml", said+`scans = ["a.ply"]`)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 || w.seen[0].Said.By != "mk" {
		t.Errorf("%+v", r)
	}
}
