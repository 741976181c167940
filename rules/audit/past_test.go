package audit_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records/history"
	"plumbrule/rules/audit"
	"plumbrule/rules/trace"
)

const weekly = "checks/scan-1/2026/2026-11-12T0812-bar-weekly.toml"

// past is a history of three commits, the latest first, in which each of some
// files was added by the first and treated as kind says by the second.
func past(when time.Time, changes map[string]history.Kind) *history.Log {
	stamp := func(day int) time.Time { return when.AddDate(0, 0, day) }
	out := &history.Log{Commits: []history.Commit{
		{ID: "cccccccccccc", Parents: []string{"bbbbbbbbbbbb"}, Author: "mk", CommitTime: stamp(1)},
		{ID: "bbbbbbbbbbbb", Parents: []string{"aaaaaaaaaaaa"}, Author: "mk", CommitTime: when},
		{ID: "aaaaaaaaaaaa", Author: "mk", CommitTime: stamp(-1)},
	}}
	for path, kind := range changes {
		second := history.Change{Kind: kind, Commit: 1, Path: path, Old: "1", New: "2"}
		if kind == history.Renamed {
			second.New = "1"
		}
		if kind == history.Removed {
			second.New = ""
		}
		out.Files = append(out.Files, &history.File{Path: path, Changes: []history.Change{{Kind: history.Added, Commit: 2, Path: path, New: "1"}, second}})
	}
	return out
}

func TestRewrittenEvidence(t *testing.T) {
	within := moment(t, "2026-11-20T12:00")
	for name, c := range map[string]struct {
		when    time.Time
		path    string
		kind    history.Kind
		devices []string
		want    string
	}{
		"a check changed":           {within, weekly, history.Changed, nil, "evidence-rewritten scan-1: " + weekly + " was changed by mk on 2026-11-20, in commit bbbbbbbbbb [" + weekly + "]\n"},
		"a check removed":           {within, weekly, history.Removed, nil, "evidence-rewritten scan-1: " + weekly + " was removed by mk on 2026-11-20, in commit bbbbbbbbbb [" + weekly + "]\n"},
		"a job changed":             {within, "jobs/2026/j-1.toml", history.Changed, nil, "evidence-rewritten j-1: jobs/2026/j-1.toml was changed by mk on 2026-11-20, in commit bbbbbbbbbb [jobs/2026/j-1.toml]\n"},
		"a check renamed":           {within, weekly, history.Renamed, nil, ""},
		"before the period":         {moment(t, "2026-08-20T12:00"), weekly, history.Changed, nil, ""},
		"a definition changed":      {within, "devices/scan-1.toml", history.Changed, nil, ""},
		"of a device not looked at": {within, "checks/scan-7/2026/2026-11-12T0812-bar-weekly.toml", history.Changed, []string{"scan-1"}, ""},
	} {
		s := opened(t)
		s.devices = c.devices
		in := s.input(t)
		in.Log = past(c.when, map[string]history.Kind{c.path: c.kind})
		if diff := cmp.Diff(c.want, text(audit.Findings(in))); diff != "" {
			t.Errorf("%s (-want +got)\n%s", name, diff)
		}
	}
}

func TestDoubtfulPast(t *testing.T) {
	in := opened(t).input(t)
	in.Log = past(moment(t, "2026-11-20T12:00"), nil)
	in.Log.Commits[0].CommitTime = moment(t, "2026-11-20T11:00")
	in.Log.Incomplete = true
	want := "commit-time-doubtful repository: commit cccccccccc by mk is by its time earlier than the commit it builds on, bbbbbbbbbb []\n" +
		"past-incomplete repository: the clone is shallow: what was changed or removed before its oldest commit is not known []\n"
	if diff := cmp.Diff(want, text(audit.Findings(in))); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	in.Devices = []string{"scan-1"}
	if got := text(audit.Findings(in)); got != "" {
		t.Errorf("of one device it says %s", got)
	}
}

func TestFiles(t *testing.T) {
	in := opened(t).input(t)
	a := in.Set.Certificates["bar-1"][0].Attachment
	for state, want := range map[trace.LookState]string{
		trace.Same:    "",
		trace.Missing: "file-lost bar-1: certificates/bar-1/2025-01-06-K-113.pdf is not in the repository [certificates/bar-1/2025-01-06-K-113.toml]\n",
		trace.Differs: "file-altered bar-1: certificates/bar-1/2025-01-06-K-113.pdf is another file than the one recorded: its SHA-256 is 00ff [certificates/bar-1/2025-01-06-K-113.toml]\n",
		trace.Outside: "file-lost bar-1: certificates/bar-1/2025-01-06-K-113.pdf leads out of the repository [certificates/bar-1/2025-01-06-K-113.toml]\n",
		trace.Unseen:  "file-lost bar-1: certificates/bar-1/2025-01-06-K-113.pdf was not compared with its SHA-256 [certificates/bar-1/2025-01-06-K-113.toml]\n",
	} {
		in.Looks = map[string]trace.Look{trace.FileKey(*a): {State: state, SHA256: "00ff"}}
		if diff := cmp.Diff(want, text(audit.Findings(in))); diff != "" {
			t.Errorf("%s (-want +got)\n%s", state, diff)
		}
	}
}
