package records

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// archive is several small text files in one: a comment, and files behind lines
// of the form "-- name --".
type archive struct {
	path    string
	comment string
	files   []textFile
}

type textFile struct{ name, text string }

func readArchive(tb testing.TB, path string) *archive {
	tb.Helper()
	data, err := os.ReadFile(filepath.FromSlash(path))
	if err != nil {
		tb.Fatal(err)
	}
	a := &archive{path: path}
	into := &a.comment
	for line := range strings.Lines(string(data)) {
		name, head := strings.CutPrefix(line, "-- ")
		name, tail := strings.CutSuffix(name, " --\n")
		if head && tail {
			a.files = append(a.files, textFile{name: name})
			into = &a.files[len(a.files)-1].text
			continue
		}
		*into += line
	}
	return a
}

func (a *archive) write(tb testing.TB) {
	tb.Helper()
	text := a.comment
	for _, f := range a.files {
		text += "-- " + f.name + " --\n" + f.text
	}
	if err := os.WriteFile(filepath.FromSlash(a.path), []byte(text), 0o644); err != nil {
		tb.Fatal(err)
	}
}
