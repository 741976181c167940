package pack

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestFolderAppearsWholeAndIsCheckedBySHA256sum(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "pack")
	f, err := Begin(dir)
	if err != nil {
		t.Fatal(err)
	}
	hostile := "records/a\nb.txt" // sha256sum escapes it
	for name, content := range map[string]string{"index.html": "abc", hostile: "two", "records/ü blank.toml": ""} {
		if err := f.Add(name, text(content)); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.AddUnlisted("audit.pdf", text("changes each time")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(dir); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the folder is there before it is finished: %v", err)
	}
	if err := f.Finish(); err != nil {
		t.Fatal(err)
	}
	if sum, err := exec.LookPath("sha256sum"); err == nil {
		check := exec.CommandContext(t.Context(), sum, "--check", "--strict", "--quiet", Manifest)
		check.Dir = dir
		if said, err := check.CombinedOutput(); err != nil {
			t.Errorf("sha256sum --check: %v: %s", err, said)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, FactsName), []byte(`{"form": 1, "commit": "c"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	earlier, err := Open(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{ // FIPS 180-4 examples: "abc" and the empty message; "two" by sha256sum
		"a\nb.txt":     "3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3",
		"ü blank.toml": "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
	}
	if diff := cmp.Diff(want, earlier.Records()); diff != "" {
		t.Error(diff)
	}
	if got := earlier.Digests["index.html"]; got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("digest of abc is %s", got)
	}
	if _, err := Begin(dir); !errors.Is(err, ErrTaken) {
		t.Errorf("a second pack in the same folder: %v, want ErrTaken", err)
	}
}

func TestFolderLetsNothingClimbOut(t *testing.T) {
	parent := t.TempDir()
	f, err := Begin(filepath.Join(parent, "pack"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../out", "/out", "a/../../out", "", ".", "a//b", `a\..\..\out`, Manifest} {
		if err := f.Add(name, text("x")); err == nil {
			t.Errorf("%q was written", name)
		}
	}
	if err := f.Add("a", text("x")); err != nil {
		t.Fatal(err)
	}
	if err := f.Add("a", text("y")); err == nil {
		t.Error("a file was written twice")
	}
	if err := f.Abandon(); err != nil {
		t.Fatal(err)
	}
	if left, err := os.ReadDir(parent); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestManifestsThatAreNone(t *testing.T) {
	for _, line := range []string{"", "abc  file", "zz7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  file", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad file"} {
		if _, _, err := readLine(line); err == nil {
			t.Errorf("%q was read", line)
		}
	}
}
