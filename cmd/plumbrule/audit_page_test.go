package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/rules"
	"plumbrule/rules/audit"
	"plumbrule/rules/trace"
)

// The gaps of a clause are counted by kind, each subject named once, in the order of the findings.
func TestGapsAreCountedByKind(t *testing.T) {
	var list []audit.Finding
	for _, x := range [][2]string{
		{"failure-without-case", "arm-01"},
		{"overdue-in-the-past", "mic-01"},
		{"failure-without-case", "arm-01"},
		{"failure-without-case", "scan-03"},
		{"overdue-in-the-past", "mic-02"},
		{"overdue-in-the-past", "mic-03"},
		{"overdue-in-the-past", "mic-04"},
		{"overdue-in-the-past", "mic-05"},
		{"no-such-kind", "x"},
	} {
		list = append(list, audit.Finding{Code: x[0], Subject: x[1]})
	}
	title := func(code string) string {
		c, found := audit.CodeOf(code)
		if !found {
			return code
		}
		return upperFirst(c.Title)
	}
	want := []string{
		title("failure-without-case") + " (3): arm-01, scan-03.",
		title("overdue-in-the-past") + " (5): mic-01, mic-02, mic-03, 2 more.",
		"no-such-kind (1): x.",
	}
	if diff := cmp.Diff(want, gapCounts(list)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// A gap that many chains lead through stands once, with the devices; a sentence that all gaps of a kind share is said once.
func TestGapsOfManyChains(t *testing.T) {
	unnamed, _ := trace.CodeOf("file-unnamed")
	unfit, _ := trace.CodeOf("device-not-fit")
	var k gapKinds
	add := func(code trace.GapCode, at, device, sentence string) {
		k.add(code, at, device, &trace.Gap{Code: code.ID, Sentence: sentence, Sources: []rules.Source{{File: "a.toml"}, {File: "b.toml"}}})
	}
	add(unnamed, "certificate F-1", "arm-01", "no file")
	add(unfit, "device arm-01", "arm-01", "unfit")
	add(unnamed, "certificate F-1", "scan-01", "no file")
	add(unnamed, "certificate F-2", "scan-01", "no file")
	rows := func(s *pack.Section) (out []string) {
		for _, cells := range s.Table.Table.Rows {
			var row []string
			for _, c := range cells {
				row = append(row, c.Shown)
			}
			out = append(out, strings.Join(row, " | "))
		}
		return out
	}
	parts := k.parts(true)
	if len(parts) != 2 || parts[0].Title != "The certificate itself not kept (2)" || !slices.Equal(parts[0].Lead, []string{"No file."}) {
		t.Fatalf("%+v", parts)
	}
	want := []string{"certificate F-1 | arm-01, scan-01 | a.toml and 1 more", "certificate F-2 | scan-01 | a.toml and 1 more"}
	if diff := cmp.Diff(want, rows(&parts[0])); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if diff := cmp.Diff([]string{"device arm-01 | unfit | arm-01 | a.toml and 1 more"}, rows(&parts[1])); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	for _, part := range slices.Concat(parts, k.parts(false)) {
		if got, want := len(part.Table.Widths), len(part.Table.Table.Columns); got != want {
			t.Errorf("%s: %d widths of %d columns", part.Title, got, want)
		}
	}
}

func TestChainsHold(t *testing.T) {
	for _, c := range []struct {
		devices, holds int
		want           string
	}{
		{1, 1, "No gap was found in what the records state: the chain holds to its end."},
		{1, 0, "The chain does not hold to its end."},
		{5, 0, "Of 5 devices there is none whose chain holds to its end."},
		{5, 2, "Of 5 devices the chain holds to its end for 2."},
	} {
		if got := chainsHold(c.devices, c.holds); got != c.want {
			t.Errorf("%d of %d: %s", c.holds, c.devices, got)
		}
	}
}

// On the page a word of the records is shown as it is spoken; the files keep it.
func TestWordsOfRecordsAreSpoken(t *testing.T) {
	if c := spaced("return-to-service"); c.Shown != "return to service" || c.Raw != "return-to-service" {
		t.Errorf("%+v", c)
	}
	if got := before("now at ", "hall 2") + before("now of ", ""); got != "now at hall 2" {
		t.Error(got)
	}
}
