package records

import (
	"strings"
	"testing"
)

func TestDisguised(t *testing.T) {
	for name, want := range map[string]string{
		"x.toml": "x", ".x.toml": "x", ".#x.toml": "x", "#x.toml#": "x", "x.toml~": "x", "x.toml.bak": "x", "x.toml.txt": "x", "x.toml ": "x", "x.toml.orig": "x",
		"x.TOML.old": "x", "x.toml (1)": "x", ".x.toml.swp": "x", "x.toml-2": "x", "a.b.toml_": "a.b",
		// A name is any bytes: İ is shorter in lower case, and what is no UTF-8 longer.
		"a\xff\xfe.toml": "a\xff\xfe", "\xff\xff\xff\xff\xff\xff.toml": "\xff\xff\xff\xff\xff\xff", "İİİİİİ.toml~": "İİİİİİ", "x.toml\xff": "x", "x.tom\xff": "",
		"x.txt": "", ".toml": "", "toml": "", "x.tomlike": "", ".gitignore": "", "x.toml5": "", "": "",
		"\xff\xfe.toml": "\xff\xfe", "\xff\xff\xff": "", "İİ.TOML~": "İİ", "ÿ\xff.toml": "ÿ\xff", // shorter or longer in lower case
	} {
		if got, ok := disguised(name); got != want || ok != (want != "") {
			t.Errorf("%q: got %q, %v", name, got, ok)
		}
	}
}

func FuzzDisguised(f *testing.F) {
	f.Add("a\xff\xfe.toml")
	f.Fuzz(func(t *testing.T, name string) {
		if stem, ok := disguised(name); ok && !strings.Contains(name, stem) {
			t.Errorf("%q: %q", name, stem)
		}
	})
}
