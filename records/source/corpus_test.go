package source

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	tomltest "github.com/toml-lang/toml-test/v2"
)

// The conformance corpus of the TOML project, module toml-test v2.2.0, list
// "files-toml-1.0.0".

func corpus(t testing.TB, version, folder string) (names []string, files fs.FS) {
	t.Helper()
	files = tomltest.TestCases()
	list, err := fs.ReadFile(files, "files-toml-"+version)
	if err != nil {
		t.Fatal(err)
	}
	for name := range strings.FieldsSeq(string(list)) {
		if strings.HasPrefix(name, folder+"/") && strings.HasSuffix(name, ".toml") {
			names = append(names, name)
		}
	}
	if len(names) < 200 {
		t.Fatalf("only %d files in %s of TOML %s", len(names), folder, version)
	}
	return names, files
}

func read(t testing.TB, files fs.FS, name string) []byte {
	t.Helper()
	text, err := fs.ReadFile(files, name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestCorpusValid(t *testing.T) {
	names, files := corpus(t, "1.0.0", "valid")
	var parser Parser
	for _, name := range names {
		text := read(t, files, name)
		doc, fault := parser.Parse(text)
		if fault != nil {
			t.Errorf("%s: refused: %v", name, fault)
			continue
		}
		var want any
		if err := json.Unmarshal(read(t, files, strings.TrimSuffix(name, ".toml")+".json"), &want); err != nil {
			t.Fatal(err)
		}
		if err := sameAsTwin(doc.Root(), want); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := CrossCheck(text, doc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		checkPositions(t, doc)
	}
}

func TestCorpusInvalid(t *testing.T) {
	names, files := corpus(t, "1.0.0", "invalid")
	valid11, _ := corpus(t, "1.1.0", "invalid")
	var parser Parser
	for _, name := range names {
		text := read(t, files, name)
		doc, fault := parser.Parse(text)
		if fault == nil {
			t.Errorf("%s: accepted: %d keys", name, doc.Root().Len())
			continue
		}
		if fault.Offset < 0 || fault.Offset > len(text) || fault.Pos != positionOf(string(text), fault.Offset) {
			t.Errorf("%s: place %d, %v of a text of %d bytes", name, fault.Offset, fault.Pos, len(text))
		}
		if fault.Message == "" {
			t.Errorf("%s: no message", name)
		}
		isForm11 := !slices.Contains(valid11, name) && !strings.Contains(name, "/spec-1.0.0/")
		if isForm11 && fault.Reason != NeedsTOML11 {
			t.Errorf("%s: TOML 1.1 allows this, but the reason is %v: %v", name, fault.Reason, fault)
		}
		t.Logf("%s: %v: %v (%s)", name, fault.Reason, fault, fault.Mend)
	}
}

// TestCorpus11 reads what only TOML 1.1 allows: each such file is refused for
// exactly that reason.
func TestCorpus11(t *testing.T) {
	names, files := corpus(t, "1.1.0", "valid")
	valid10, _ := corpus(t, "1.0.0", "valid")
	var parser Parser
	found := 0
	for _, name := range names {
		if slices.Contains(valid10, name) {
			continue
		}
		_, fault := parser.Parse(read(t, files, name))
		if fault == nil {
			continue // the text of the specification, mostly unchanged since 1.0
		}
		found++
		if fault.Reason != NeedsTOML11 {
			t.Errorf("%s: %v: %v", name, fault.Reason, fault)
		}
	}
	if found < 5 {
		t.Errorf("only %d files need TOML 1.1", found)
	}
}

// sameAsTwin compares a node with the corpus's typed JSON.
func sameAsTwin(n Node, want any) error {
	switch want := want.(type) {
	case []any:
		if n.Kind() != Array || n.Len() != len(want) {
			return fmt.Errorf("%s: %v of %d, want array of %d", n.Path(), n.Kind(), n.Len(), len(want))
		}
		i := 0
		for element := range n.Elements() {
			if err := sameAsTwin(element, want[i]); err != nil {
				return err
			}
			i++
		}
		return nil
	case map[string]any:
		if typ, ok := want["type"].(string); ok {
			return sameAsScalar(n, typ, want["value"].(string))
		}
		if n.Kind() != Table || n.Len() != len(want) {
			return fmt.Errorf("%s: %v of %d, want table of %d", n.Path(), n.Kind(), n.Len(), len(want))
		}
		for key, value := range want {
			child, ok := n.Child(key)
			if !ok {
				return fmt.Errorf("%s: no key %q", n.Path(), key)
			}
			if err := sameAsTwin(child, value); err != nil {
				return err
			}
		}
		return nil
	}
	return fmt.Errorf("%s: the twin has a %T", n.Path(), want)
}

func sameAsScalar(n Node, typ, want string) error {
	same := false
	switch typ {
	case "string":
		got, ok := n.Text()
		same = ok && got == want
	case "integer":
		got, ok := n.Integer()
		same = ok && strconv.FormatInt(got, 10) == want
	case "float":
		got, ok := n.Float()
		value, err := strconv.ParseFloat(strings.TrimPrefix(strings.TrimPrefix(want, "+"), "-"), 64)
		if strings.HasPrefix(want, "-") {
			value = -value
		}
		same = ok && err == nil && n.Kind() == Float && (got == value || math.IsNaN(got) && math.IsNaN(value))
	case "bool":
		got, ok := n.Bool()
		same = ok && strconv.FormatBool(got) == want
	case "datetime":
		got, ok := n.Instant()
		value, err := time.Parse(time.RFC3339Nano, want)
		_, gotOffset := got.Zone()
		_, wantOffset := value.Zone()
		same = ok && err == nil && got.Equal(value) && gotOffset == wantOffset
	case "date-local":
		year, month, day, ok := n.LocalDate()
		same = ok && fmt.Sprintf("%04d-%02d-%02d", year, month, day) == want
	case "datetime-local":
		same = n.Kind() == LocalDateTime && sameParts(n, "2006-01-02T15:04:05", want)
	case "time-local":
		same = n.Kind() == LocalTime && sameParts(n, "15:04:05", want)
	}
	if !same {
		return fmt.Errorf("%s: %v %q, want %s %q", n.Path(), n.Kind(), n.Source(), typ, want)
	}
	return nil
}

func sameParts(n Node, layout, want string) bool {
	c, wrong := parseCivil(n.Source())
	if c.kind == LocalTime {
		c.month, c.day = 1, 1
	}
	value, err := time.Parse(layout, want)
	return wrong == nil && err == nil && c.instant().Equal(value)
}
