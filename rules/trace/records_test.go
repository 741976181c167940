package trace_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// Chains that are followed one after another through the same records are those followed alone, and the gaps of a job's devices
// those of its chain: with certificates of drawn days, a device that is not listed, and a withdrawal
// before, in or after the job.
func TestManyChainsAreThoseFollowedAlone(t *testing.T) {
	seen := map[string]bool{}
	rapid.Check(t, func(rt *rapid.T) {
		files := drawn(t, rt)
		second := strings.ReplaceAll(string(files[job].Data), `"j-1"`, `"j-2"`)
		if rapid.Bool().Draw(rt, "unlisted") {
			second = strings.ReplaceAll(second, `"scan-1"`, `"scan-1", "scan-9"`)
		}
		files["jobs/2026/j-2.toml"] = &fstest.MapFile{Data: []byte(second)}
		withdrawn := eventOf("scan-1", "withdrawal", rapid.SampledFrom([]string{"2026-11-20", "2026-11-24", "2026-11-25"}).Draw(rt, "withdrawn"), "")
		files[withdrawn.file] = &fstest.MapFile{Data: []byte(withdrawn.new)}
		set, _ := records.Load(files, records.Options{})
		all := trace.Open(set, asked(), rules.Options{}, nil)
		for _, name := range rapid.Permutation([]string{"j-1", "scan-1", "bar-1", check, "j-2"}).Draw(rt, "order") {
			got, gotErr := all.For(name, "")
			want, wantErr := trace.For(trace.Query{Set: set, At: asked(), Subject: name})
			if (gotErr == nil) != (wantErr == nil) {
				rt.Fatalf("%s: %v, alone %v", name, gotErr, wantErr)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				rt.Fatalf("%s (-alone +among others)\n%s", name, diff)
			}
		}
		for _, j := range set.Jobs {
			chain, err := all.For(j.File, "")
			if err != nil {
				rt.Fatal(err)
			}
			var want []trace.Used
			for _, g := range chain.Gaps() {
				if s := chain.Steps[g.Step]; s.Kind == trace.Device && slices.Contains([]string{"device-not-fit", "device-unlisted", "step-unreadable"}, g.Gap.Code) {
					want = append(want, trace.Used{Device: s.Name, Gap: g.Gap})
					seen[g.Gap.Code] = true
				}
			}
			if diff := cmp.Diff(want, all.UsedFor(j)); diff != "" {
				rt.Fatalf("%s (-chain +devices)\n%s", j.ID, diff)
			}
		}
	})
	if !seen["device-not-fit"] {
		t.Error("no device was drawn that was not fit")
	}
}
