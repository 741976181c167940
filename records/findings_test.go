package records

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"
)

// TestManyFaults reads a large file in which everything is wrong: few
// diagnostics, and the record is unreadable all the same.
func TestManyFaults(t *testing.T) {
	var text strings.Builder
	for i := 0; text.Len() < MaxFileSize-100; i++ {
		fmt.Fprintf(&text, "nonsense%d = 1\n", i)
	}
	files := goodFiles(t)
	files[deviceFile] = &fstest.MapFile{Data: []byte(text.String())}
	set, found := Load(files, Options{At: evaluated})
	accounted(t, files, set, found)
	if len(found) != maximumInFile {
		t.Errorf("%d diagnostics", len(found))
	}
}

// TestWarningsHideNoError has more warnings than are told before the one error.
func TestWarningsHideNoError(t *testing.T) {
	files := goodFiles(t)
	check := string(files[checkFile].Data)
	more := strings.Repeat("\n[[reading]]\nfeature = \"C\"\nvalues = [30.0]\n", 3*maximumInFile)
	check += more + "\n[[reading]]\nfeature = \"C\"\nvalues = [40.0]\n"
	files[checkFile] = &fstest.MapFile{Data: []byte(check)}
	set, found := Load(files, Options{At: evaluated})
	accounted(t, files, set, found)
	if len(found) != maximumInFile+1 || len(set.Unreadable) != 1 {
		t.Errorf("%d diagnostics, %d unreadable", len(found), len(set.Unreadable))
	}
}

// TestHostileNames prints what users see of names and values that would act on
// their terminal.
func TestHostileNames(t *testing.T) {
	files := goodFiles(t)
	files["devices/a\x1b[31m\u202eb.toml"] = files[deviceFile]
	files["checks/scan-02/2026/\x07.jpg"] = &fstest.MapFile{}
	files[checkFile] = &fstest.MapFile{Data: []byte(strings.Replace(string(files[checkFile].Data), `"mm"`, `"\u001b[2J`+strings.Repeat("ß", 2000)+`"`, 1))}
	_, found := Load(files, Options{At: evaluated})
	text := printed(found)
	if len(found) < 3 || strings.ContainsFunc(text, func(r rune) bool { return r != '\n' && !unicode.IsGraphic(r) }) {
		t.Errorf("%d diagnostics: %q", len(found), text)
	}
	if len(text) > 4*longestText+2000 {
		t.Errorf("%d bytes", len(text))
	}
	for _, want := range []string{`devices/a\x1b[31m\u202eb.toml: error`, `checks/scan-02/2026/\a.jpg: warning`} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %q", want, text)
		}
	}
}
