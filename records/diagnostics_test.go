package records

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestDiagnostics loads, for every code, a repository with that fault and
// compares all that the user is shown. The name of the file is the code, with a
// variant behind a plus sign.
func TestDiagnostics(t *testing.T) {
	names, err := filepath.Glob("testdata/diagnostics/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	untested := map[string]bool{}
	for _, c := range Codes() {
		untested[c.ID] = true
	}
	for _, name := range names {
		base := strings.TrimSuffix(filepath.Base(name), ".txtar")
		code, _, _ := strings.Cut(base, "+")
		if _, known := CodeOf(code); !known {
			t.Errorf("%s: there is no code %s", name, code)
		}
		delete(untested, code)
		t.Run(base, func(t *testing.T) {
			a := readArchive(t, filepath.ToSlash(name))
			files := bytesCase(t, base)
			if files == nil {
				files = twin(t, a)
			}
			found := loadCase(files, base)
			expect(t, a, printed(found))
			for _, d := range found {
				if d.Code != code {
					t.Errorf("one fault, but also %s", d)
				}
				checkWording(t, d)
			}
			if len(found) == 0 {
				t.Error("no diagnostic")
			}
		})
	}
	for _, code := range slices.Sorted(maps.Keys(untested)) {
		t.Errorf("code %s has no case", code)
	}
}

// checkWording holds the house rules for messages.
func checkWording(t *testing.T, d Diagnostic) {
	t.Helper()
	for _, text := range []string{d.Message, d.Mend} {
		switch {
		case text == "":
			t.Errorf("%s: message or remedy is empty: %+v", d.Code, d)
		case strings.HasSuffix(text, "."):
			t.Errorf("%s: full stop in %q", d.Code, text)
		case strings.Contains(text, "invalid") || strings.Contains(text, "failed to"):
			t.Errorf("%s: says what it is not, not what is there: %q", d.Code, text)
		}
	}
	if d.File == "" || d.Severity != Warning && d.Severity != Error {
		t.Errorf("%s: no file or severity: %+v", d.Code, d)
	}
	if (d.Excerpt == "") != (d.Position == Position{}) {
		t.Errorf("%s: position %v with excerpt %q", d.Code, d.Position, d.Excerpt)
	}
}

func TestCatalogue(t *testing.T) {
	list := Codes()
	if !slices.IsSortedFunc(list, func(a, b Code) int { return strings.Compare(a.ID, b.ID) }) {
		t.Error("codes are not sorted")
	}
	seen := map[string]bool{}
	for _, c := range list {
		if seen[c.ID] {
			t.Errorf("code %s twice", c.ID)
		}
		seen[c.ID] = true
		if c.Title == "" || c.Meaning == "" || c.Mend == "" || c.Severity == 0 {
			t.Errorf("code %s is not documented: %+v", c.ID, c)
		}
		if strings.HasSuffix(c.Title, ".") || !strings.HasSuffix(c.Meaning, ".") || strings.HasSuffix(c.Mend, ".") {
			t.Errorf("code %s: title and remedy end without full stop, the meaning with one", c.ID)
		}
	}
}
