package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// At a terminal, record asks for what the flags leave open: the same answers give the same file as flags do.
func TestRecordAsksAtATerminal(t *testing.T) {
	byFlags := recordInShop(t, "", "check", "scan-1", "--procedure", "bar-weekly", "--artifact", "bar-1", "--by", "mk", "--temperature", "21.4 °C",
		"--temperature-uncertainty", "0.3 °C (k = 2)", "--reading", "A=29.9984,30.0011,29.9990", "--reading", "A-C=800.031", "--path", "A-C=2.6m")
	asked := recordInShop(t, strings.Join([]string{
		"",             // procedure: the only one is offered
		"bar-1",        // artifact
		"mk",           // by
		"21.4 °C",      // temperature
		"0.3 °C (k=2)", // its uncertainty
		"29.9984, 30.0011, 29.9990",
		"800.031",
		"2.6m", // path of A-C
	}, "\n")+"\n", "check", "scan-1")
	if diff := cmp.Diff(byFlags, asked); diff != "" {
		t.Errorf("(-flags +asked)\n%s", diff)
	}
}

// A slip is told and asked again; the answers before it are kept.
func TestRecordAsksAgainAfterASlip(t *testing.T) {
	got := recordInShop(t, strings.Join([]string{
		"bar-wekly", "bar-weekly", "bar-1", "mk", "21.4", "21.4 °C", "0.3 °C", "0.3 °C (k = 2)", "29,9984 x", "29.9984 30.0011 29.9990", "800.031", "2.6", "2.6 m",
	}, "\n")+"\n", "check", "scan-1")
	for _, want := range []string{"values = [29.9984, 30.0011, 29.9990]", `path = "2.6 m"`, `temperature-uncertainty = "0.3 °C (k = 2)"`} {
		if !strings.Contains(got, want) {
			t.Errorf("the record lacks %s:\n%s", want, got)
		}
	}
}

// When the answers end too early, nothing is written.
func TestRecordWritesNothingWhenTheAnswersEnd(t *testing.T) {
	if got := recordInShop(t, "\nbar-1\n", "check", "scan-1"); got != "" {
		t.Errorf("written all the same:\n%s", got)
	}
}

// recordInShop runs record in a copy of the shop with answers typed at a terminal, and returns the check it wrote.
func recordInShop(t *testing.T, typed string, args ...string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("testdata/shop")); err != nil {
		t.Fatal(err)
	}
	var out, complaints bytes.Buffer
	e := env{
		Stdin: strings.NewReader(typed), Stdout: &out, Stderr: &complaints, Interactive: typed != "", Dir: dir, LookupEnv: func(string) (string, bool) { return "", false },
		Now: func() time.Time { return time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC) },
	}
	status := run(t.Context(), e, append([]string{"record"}, args...))
	text, err := os.ReadFile(filepath.Join(dir, "checks/scan-1/2026/2026-11-25T0900-bar-weekly.toml"))
	if err == nil && status != statusFine {
		t.Errorf("exit status %d although the file was written\n%s", status, complaints.String())
	}
	return string(text)
}
