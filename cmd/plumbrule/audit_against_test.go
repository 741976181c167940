package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
)

// A record that git wrote with other line ends into the folder says what it said; one whose text differs does not, and what is no
// file is not opened, since reading from a pipe would wait for ever.
func TestCompareWithPack(t *testing.T) {
	const check, attached = "checks/scan-1/2026/2026-11-23T0812-bar-weekly.toml", "certificates/scan-1/1.pdf"
	for name, c := range map[string]struct {
		file, before, now string
		mode              fs.FileMode
		want              string
		rewritten         bool
	}{
		"as it was":                      {check, "a\nb\n", "a\nb\n", 0, "", false},
		"as it was, with returns":        {check, "a\r\nb\r\n", "a\r\nb\r\n", 0, "", false},
		"other line ends":                {check, "a\nb\n", "a\r\nb\r\n", 0, "line ends", false},
		"some other line ends":           {check, "a\nb\n", "a\nb\r\n", 0, "line ends", false},
		"other line ends and text":       {check, "a\nb\n", "a\r\nc\r\n", 0, "changed", true},
		"a return within a line":         {check, "ab\n", "a\rb\r\n", 0, "changed", true},
		"returns taken away":             {check, "a\r\nb\r\n", "a\nb\n", 0, "changed", true},
		"a return at the end":            {check, "a\n", "a\r\n\r", 0, "changed", true},
		"line ends of what is no record": {attached, "a\nb\n", "a\r\nb\r\n", 0, "changed", true},
		"a pipe":                         {check, "a\n", "a\n", fs.ModeNamedPipe, "no ordinary file", true},
		"a link":                         {check, "a\n", "a\n", fs.ModeSymlink, "no ordinary file", true},
	} {
		t.Run(name, func(t *testing.T) {
			digest := sha256.Sum256([]byte(c.before))
			files := fstest.MapFS{c.file: {Data: []byte(c.now), Mode: c.mode}}
			var got compared
			if err := got.compare(files, c.file, hex.EncodeToString(digest[:])); err != nil {
				t.Fatal(err)
			}
			what := ""
			for _, r := range got.rows {
				what += r.What
			}
			if what != c.want || got.rewritten() != c.rewritten {
				t.Errorf("told %q and rewritten %v, want %q and %v", what, got.rewritten(), c.want, c.rewritten)
			}
		})
	}
}

// Line ends are the same however a text comes in pieces.
func TestLineFeeds(t *testing.T) {
	const text = "\r\na\r\r\nb\rc\n\r\n"
	for cut := range len(text) {
		var out strings.Builder
		l := &lineFeeds{to: &out}
		for _, piece := range []string{text[:cut], text[cut:]} {
			if n, err := l.Write([]byte(piece)); n != len(piece) || err != nil {
				t.Fatal(n, err)
			}
		}
		if diff := cmp.Diff("\na\r\nb\rc\n\n", out.String()); diff != "" {
			t.Errorf("cut at %d\n%s", cut, diff)
		}
	}
}
