package main

import (
	"testing"

	"plumbrule/records"
)

func TestKnownScansFollowTheRecords(t *testing.T) {
	k := knownScans{}
	check := func(file, digest string) *records.Check {
		return &records.Check{File: file, Scans: []records.ScanFile{{SHA256: digest}}}
	}
	a, b := check("a", "1"), check("b", "2")
	want := func(set *records.Set, digest, file string) {
		t.Helper()
		if got, found := k.find(set, digest); got != file || found != (file != "") {
			t.Errorf("%s: %q %v, want %q", digest, got, found, file)
		}
	}
	first := &records.Set{Checks: map[string][]*records.Check{"scan-1": {a}, "scan-2": {b}}}
	want(first, "1", "a")
	want(first, "2", "b")
	want(first, "3", "")
	corrected := &records.Set{Checks: map[string][]*records.Check{"scan-1": {check("c", "3")}, "scan-2": first.Checks["scan-2"]}}
	want(corrected, "3", "c")
	want(corrected, "1", "")
	want(corrected, "2", "b")
	want(&records.Set{Checks: map[string][]*records.Check{"scan-1": {a}}}, "2", "")
}
