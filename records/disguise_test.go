package records

import "testing"

func TestDisguised(t *testing.T) {
	for name, want := range map[string]string{
		"x.toml": "x", ".x.toml": "x", ".#x.toml": "x", "#x.toml#": "x", "x.toml~": "x", "x.toml.bak": "x", "x.toml.txt": "x", "x.toml ": "x", "x.toml.orig": "x",
		"x.TOML.old": "x", "x.toml (1)": "x", ".x.toml.swp": "x", "x.toml-2": "x", "a.b.toml_": "a.b",
		"x.txt": "", ".toml": "", "toml": "", "x.tomlike": "", ".gitignore": "", "x.toml5": "", "": "",
		"\xff\xfe.toml": "\xff\xfe", "\xff\xff\xff": "", "İİ.TOML~": "İİ", "ÿ\xff.toml": "ÿ\xff", // shorter or longer in lower case
	} {
		if got, ok := disguised(name); got != want || ok != (want != "") {
			t.Errorf("%q: got %q, %v", name, got, ok)
		}
	}
}
