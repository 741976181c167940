package browser_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"plumbrule/cmd/plumbrule/internal/browser"
)

func TestPDF(t *testing.T) {
	if _, err := browser.Installed(); err != nil {
		t.Skip(err)
	}
	folder := t.TempDir()
	t.Setenv("TMPDIR", folder)
	pdf, err := browser.PDF(t.Context(), "<!DOCTYPE html><title>a page</title><style>@page{size:50mm 30mm}</style>one")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Contains(pdf, []byte("/MediaBox [0 0 142.")) {
		t.Errorf("%d bytes without a page of 50 mm × 30 mm", len(pdf))
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "plumbrule-print-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestWithoutChromium(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if _, err := browser.PDF(t.Context(), ""); !errors.Is(err, browser.ErrNone) {
		t.Error(err)
	}
}

func TestChromiumThatFails(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "chromium"), []byte("#!/bin/sh\necho no display >&2\nexit 1\n"), 0o700); err != nil { //nolint:gosec // a program must be executable
		t.Fatal(err)
	}
	t.Setenv("PATH", folder)
	_, err := browser.PDF(t.Context(), "")
	if want := filepath.Join(folder, "chromium") + " has printed no PDF (exit status 1; no display)"; err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}
