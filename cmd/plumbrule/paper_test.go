package main

import (
	"bytes"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// paper is what stands on the printed pages, a text each.
func paper(t *testing.T, pdf string) []string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	out, err := exec.CommandContext(t.Context(), program, "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

// On paper no page of a pack ends with a heading whose text is on the next, and ids, days and options are not broken.
func TestPackOnPaper(t *testing.T) {
	if _, err := exec.LookPath("chromium"); err != nil {
		t.Skip("chromium is not installed")
	}
	folder := t.TempDir()
	works, into := filepath.Join(folder, "works"), filepath.Join(folder, "pack")
	if err := os.CopyFS(works, os.DirFS(exampleRecords(t))); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	e := env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &out, Now: time.Now, LookupEnv: os.LookupEnv, Dir: works}
	if status := run(t.Context(), e, []string{"audit", "--into", into, "--from", "2025-05-02", "--at", "2026-11-02T07:00", "--pdf"}); status != 0 {
		t.Fatalf("ends with %d\n%s", status, out.String())
	}
	page, err := os.ReadFile(filepath.Join(into, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	headings := map[string]bool{}
	for _, m := range regexp.MustCompile(`<h[2-4][^>]*>(.*?)</h[2-4]>`).FindAllSubmatch(page, -1) {
		headings[html.UnescapeString(string(m[1]))] = true
	}
	if len(headings) < 30 {
		t.Fatalf("%d headings", len(headings))
	}
	pages := paper(t, filepath.Join(into, "audit.pdf"))
	if len(pages) < 20 {
		t.Fatalf("%d pages", len(pages))
	}
	for i, text := range pages {
		lines := strings.Split(strings.TrimSpace(text), "\n")
		for len(lines) > 0 && (strings.TrimSpace(lines[len(lines)-1]) == "" || regexp.MustCompile(`^\s*\d+ / \d+$`).MatchString(lines[len(lines)-1])) {
			lines = lines[:len(lines)-1]
		}
		if len(lines) == 0 {
			t.Errorf("page %d is empty", i+1)
			continue
		}
		if last := strings.TrimSpace(lines[len(lines)-1]); headings[last] {
			t.Errorf("page %d ends with the heading %q", i+1, last)
		}
		for _, broken := range regexp.MustCompile(`(?m)(?:^|\s)(?:caliper|scan|mic|arm|bore|height|20\d\d|20\d\d-\d\d)-(?:\s|$)`).FindAllString(text, -1) {
			t.Errorf("page %d breaks %q", i+1, broken)
		}
	}
}

// On paper the status page of a device breaks no name, day or figure, though long paths stand beside them.
func TestDevicePageOnPaper(t *testing.T) {
	_, _, web := examplePage(t)
	untilShown(t, web)
	pdf := filepath.Join(t.TempDir(), "device.pdf")
	browse(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, web.URL+"/device/scan-02")
	text := strings.Join(paper(t, pdf), "")
	for word, least := range map[string]int{"calibration ": 4, "2026-01-14 ": 4, "bar-weekly ": 4, "+37.7 ": 1, "+13.0 ": 1, "12 months": 1} {
		if n := strings.Count(text, word); n < least {
			t.Errorf("%q stands there whole %d times, want %d", word, n, least)
		}
	}
}
