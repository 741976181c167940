package repository

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

func TestCreateNeverTouchesWhatIsThere(t *testing.T) {
	r := &Repository{Root: t.TempDir()}
	const name = "checks/scan-1/2026/a.toml"
	if err := r.Create(name, []byte("first\n")); err != nil {
		t.Fatal(err)
	}
	if err := r.Create(name, []byte("second\n")); !errors.Is(err, ErrExists) {
		t.Errorf("a second time: %v, want ErrExists", err)
	}
	got, err := os.ReadFile(r.Path(name))
	if err != nil || string(got) != "first\n" {
		t.Errorf("the file holds %q (%v), want what was written first", got, err)
	}
	onlyFile(t, r, "checks/scan-1/2026", "a.toml")
}

// Of many who write the same name at once exactly one succeeds, and the file is whole.
func TestCreateBySeveralAtOnce(t *testing.T) {
	r := &Repository{Root: t.TempDir()}
	var wait sync.WaitGroup
	errs := make([]error, 20)
	for i := range errs {
		wait.Go(func() {
			errs[i] = r.Create("events/a/e.toml", []byte(strings.Repeat(fmt.Sprintf("%02d\n", i), 1000)))
		})
	}
	wait.Wait()
	won := -1
	for i, err := range errs {
		switch {
		case err == nil && won >= 0:
			t.Errorf("both %d and %d wrote the file", won, i)
		case err == nil:
			won = i
		case !errors.Is(err, ErrExists):
			t.Errorf("%d: %v, want ErrExists", i, err)
		}
	}
	got, err := os.ReadFile(r.Path("events/a/e.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if want := strings.Repeat(fmt.Sprintf("%02d\n", won), 1000); string(got) != want {
		t.Errorf("the file is not the text of the one that succeeded")
	}
	onlyFile(t, r, "events/a", "e.toml")
}

// A name that cannot be written leaves nothing behind.
func TestCreateFailsCleanly(t *testing.T) {
	r := &Repository{Root: t.TempDir()}
	if err := os.WriteFile(filepath.Join(r.Root, "checks"), []byte("a file"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := r.Create("checks/scan-1/a.toml", []byte("x")); err == nil {
		t.Error("written below a file, want an error")
	}
	onlyFile(t, r, ".", "checks")
}

func onlyFile(t *testing.T, r *Repository, folder, want string) {
	t.Helper()
	entries, err := os.ReadDir(r.Path(folder))
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 1 || entries[0].Name() != want {
		t.Errorf("%s holds %v, want %s alone", folder, entries, want)
	}
}
