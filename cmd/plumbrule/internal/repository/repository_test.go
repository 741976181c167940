package repository

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func TestFindClimbsToTheSiteFile(t *testing.T) {
	root := t.TempDir()
	deep := filepath.Join(root, "checks", "scan-1")
	if err := os.MkdirAll(deep, 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := Find(deep); !errors.Is(err, ErrNone) {
		t.Errorf("without a site file: %v, want ErrNone", err)
	}
	if err := os.WriteFile(filepath.Join(root, "plumbrule.toml"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{root, deep} {
		r, err := Find(dir)
		if err != nil {
			t.Fatal(err)
		}
		if r.Root != root {
			t.Errorf("from %s: root %s, want %s", dir, r.Root, root)
		}
	}
	if _, err := Find(filepath.Join(root, "nowhere")); err == nil || errors.Is(err, ErrNone) {
		t.Errorf("a folder that is not there: %v", err)
	}
}
