package records

import (
	"io/fs"
	"maps"
	"strings"
	"testing"
	"testing/fstest"

	tomltest "github.com/toml-lang/toml-test/v2"
)

// TestCorpus loads every file of the conformance suite of the TOML project
// (module toml-test v2.2.0, list "files-toml-1.0.0") as if it were a record.
// None is one, so each must be refused with an error; each of a text that is
// not TOML 1.0 must have its place.
func TestCorpus(t *testing.T) {
	suite := tomltest.TestCases()
	list, err := fs.ReadFile(suite, "files-toml-1.0.0")
	if err != nil {
		t.Fatal(err)
	}
	good := goodFiles(t)
	tried := map[string]int{}
	for name := range strings.FieldsSeq(string(list)) {
		if !strings.HasSuffix(name, ".toml") {
			continue
		}
		text, err := fs.ReadFile(suite, name)
		if err != nil {
			t.Fatal(err)
		}
		kind, _, _ := strings.Cut(name, "/")
		tried[kind]++
		for _, file := range []string{deviceFile, checkFile, SiteFile} {
			files := maps.Clone(good)
			files[file] = &fstest.MapFile{Data: text}
			set, found := Load(files, Options{At: evaluated, CrossCheck: kind == "valid"})
			accounted(t, files, set, found)
			errors := 0
			for _, d := range found {
				if d.File == file && d.Severity == Error {
					errors++
					if d.Position.Line < 1 || d.Position.Column < 1 || d.Excerpt == "" {
						t.Errorf("%s as %s: no place: %s", name, file, d)
					}
				}
				if kind == "invalid" && d.File == file && refusal(d.Code) != (errors == 1) {
					t.Errorf("%s as %s: a text that is not TOML gives one error, not %s", name, file, d)
				}
			}
			if errors == 0 {
				t.Errorf("%s as %s: no error", name, file)
			}
		}
	}
	if tried["valid"] < 200 || tried["invalid"] < 400 {
		t.Errorf("only %v tried", tried)
	}
}

// refusal reports whether a code says that a text is not TOML 1.0.
func refusal(code string) bool {
	switch code {
	case "toml-syntax", "duplicate-key", "toml-1.1", "not-utf-8", "control-character", "merge-conflict", "too-deep":
		return true
	}
	return false
}
