package rules_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"strconv"
	"strings"
	"testing"
)

// imports lists what each Go file of the module imports, tests left out, by
// path from the module's root.
func imports(t *testing.T) map[string]*ast.File {
	t.Helper()
	root := os.DirFS("..")
	out := map[string]*ast.File{}
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		source, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, source, 0)
		if err != nil {
			t.Logf("%v", err) // somebody is writing it; the compiler will say
			return nil
		}
		out[name] = file
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func imported(t *testing.T, file *ast.File) []string {
	t.Helper()
	var out []string
	for _, i := range file.Imports {
		p, err := strconv.Unquote(i.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

// The house has three floors, and imports point downward: cmd, rules, records.
// The examples stand on the top floor, beside cmd.
func TestImportsPointDownward(t *testing.T) {
	floors := map[string]int{"records": 0, "rules": 1, "cmd": 2, "examples": 2}
	seen := map[int]int{}
	for name, file := range imports(t) {
		top, _, _ := strings.Cut(name, "/")
		floor, known := floors[top]
		if !known {
			t.Errorf("%s lies on none of the floors records, rules, cmd", name)
			continue
		}
		for _, p := range imported(t, file) {
			below, ours := strings.CutPrefix(p, "plumbrule/")
			if !ours {
				continue
			}
			seen[floor]++
			target, _, _ := strings.Cut(below, "/")
			if to, known := floors[target]; !known || to > floor {
				t.Errorf("%s imports %s, which lies above it", name, p)
			}
		}
	}
	if seen[0] == 0 || seen[1] == 0 || seen[2] == 0 {
		t.Errorf("found imports inside the module on floors %v only", seen)
	}
}

// Conclusions depend on records and instant alone: nothing here may ask the
// machine. What does time and no clock is allowed.
func TestRulesAreWithoutClockAndMachine(t *testing.T) {
	barred := []string{
		"os", "io", "io/fs", "log", "net", "syscall", "runtime/debug", "math/rand", "math/rand/v2", "crypto/rand", "embed", "path/filepath", "unsafe",
	}
	clock := []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Local", "LoadLocation"}
	files := 0
	for name, file := range imports(t) {
		if !strings.HasPrefix(name, "rules/") {
			continue
		}
		files++
		for _, p := range imported(t, file) {
			for _, b := range barred {
				if b == "embed" && strings.HasPrefix(name, "rules/published/") {
					continue // published figures are part of the program, and of no machine
				}
				if p == b || strings.HasPrefix(p, b+"/") && path.Dir(p) == b {
					t.Errorf("%s imports %s", name, p)
				}
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, ok := s.X.(*ast.Ident)
			if !ok || x.Obj != nil { // a variable of that name
				return true
			}
			for _, c := range clock {
				if x.Name == "time" && s.Sel.Name == c {
					t.Errorf("%s uses time.%s", name, c)
				}
			}
			if x.Name == "fmt" && strings.HasPrefix(s.Sel.Name, "Print") {
				t.Errorf("%s prints", name)
			}
			return true
		})
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name == "init" && f.Recv == nil {
				t.Errorf("%s has an init", name)
			}
		}
	}
	if files == 0 {
		t.Error("no files found")
	}
}
