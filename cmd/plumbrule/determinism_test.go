package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// machines are settings of machines that must not make a difference.
func machines() [][]string {
	return [][]string{
		{"TZ=UTC", "LANG=C", "GOMAXPROCS=1", "PLUMBRULE_TEST_NOW=2026-11-02T12:00:00Z"},
		{"TZ=Pacific/Auckland", "LANG=de_DE.UTF-8", "GOMAXPROCS=8", "PLUMBRULE_TEST_NOW=2031-01-01T00:00:00Z"},
		{"TZ=America/Sao_Paulo", "LC_ALL=tr_TR.UTF-8", "ZONEINFO=/nowhere", "PLUMBRULE_TEST_NOW=2026-11-02T12:00:00Z"},
	}
}

// Files of a pack are written side by side, and are the same in whatever order they come.
func TestPackDoesNotDependOnTheMachine(t *testing.T) {
	var want []byte
	for i, machine := range machines() {
		folder := filepath.Join(t.TempDir(), "pack")
		cmd := exec.CommandContext(t.Context(), "plumbrule", "-C", "../../examples/propeller-works", "audit", "--into", folder, "--from", "2025-05-02", "--at", "2026-11-02T07:00")
		cmd.Env = append(os.Environ(), machine...)
		if said, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, said)
		}
		sums, err := os.ReadFile(filepath.Join(folder, "SHA256SUMS"))
		if err != nil {
			t.Fatal(err)
		}
		if n := bytes.Count(sums, []byte("\n")); n < 600 { // records of the works, tables, charts
			t.Fatalf("%d files in the manifest", n)
		}
		if i == 0 {
			want = sums
		} else if !bytes.Equal(want, sums) {
			t.Errorf("another pack with %v", machine)
		}
	}
}

// The same records and instant give the same bytes, whatever the machine's time zone, locale, directory, clock or number of
// processors.
func TestAnswersDoNotDependOnTheMachine(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "plumbrule")
	if err := os.Symlink(self, program); err != nil {
		t.Fatal(err)
	}
	works, err := filepath.Abs("../../examples/propeller-works")
	if err != nil {
		t.Fatal(err)
	}
	for _, verb := range []string{
		"status", "status --format json", "due --within 60d --format json", "explain scan-03", "explain scan-02 --format json",
		"chart scan-02 --format json", "chart scan-03 --feature A-C --procedure bar-weekly", "status scan-04 --hindsight --format csv",
		"trace p-2604", "trace scan-03 --format json",
	} {
		var want []byte
		for i, machine := range machines() {
			args := append([]string{"-C", works}, strings.Fields(verb)...)
			cmd := exec.CommandContext(t.Context(), program, append(args, "--at", "2026-11-02T07:00")...)
			cmd.Dir = t.TempDir()
			cmd.Env = append(os.Environ(), machine...)
			var out, complaints bytes.Buffer
			cmd.Stdout, cmd.Stderr = &out, &complaints
			if err := cmd.Run(); err != nil {
				t.Fatalf("%s: %v\n%s", verb, err, complaints.String())
			}
			if i == 0 {
				want = out.Bytes()
				continue
			}
			if !bytes.Equal(want, out.Bytes()) {
				t.Errorf("%s: another answer with %v", verb, machine)
			}
		}
	}
}
