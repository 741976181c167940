package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

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
		for i, machine := range [][]string{
			{"TZ=UTC", "LANG=C", "GOMAXPROCS=1", "PLUMBRULE_TEST_NOW=2026-11-02T12:00:00Z"},
			{"TZ=Pacific/Auckland", "LANG=de_DE.UTF-8", "GOMAXPROCS=8", "PLUMBRULE_TEST_NOW=2031-01-01T00:00:00Z"},
			{"TZ=America/Sao_Paulo", "LC_ALL=tr_TR.UTF-8", "ZONEINFO=/nowhere", "PLUMBRULE_TEST_NOW=2026-11-02T12:00:00Z"},
		} {
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
