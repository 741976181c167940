package audit_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// BenchmarkClauses answers for 200 devices over 18 months of weekly checks, with
// a job a month each, of which one in ten devices has something to find.
func BenchmarkClauses(b *testing.B) {
	s := opened(b)
	s.from = s.at.AddDate(0, -18, 0)
	for i := range 200 {
		id := fmt.Sprintf("scan-%03d", i)
		put := func(name, text string) {
			text = strings.NewReplacer("scan-1", id, "HS-2", id, "2026-10-01", "2025-05-20").Replace(text)
			s.files[strings.ReplaceAll(name, "scan-1", id)] = &fstest.MapFile{Data: []byte(text)}
		}
		put("devices/scan-1.toml", string(s.files["devices/scan-1.toml"].Data))
		put("certificates/scan-1/2026-09-22-S-9.toml", string(s.files["certificates/scan-1/2026-09-22-S-9.toml"].Data))
		check := string(s.files["checks/scan-1/2026/2026-11-19T0812-bar-weekly.toml"].Data)
		first := moment(b, "2025-05-22T08:12")
		for week := range 78 {
			if i%10 == 0 && week == 40 {
				continue
			}
			at := first.AddDate(0, 0, 7*week)
			put(fmt.Sprintf("checks/scan-1/%s/%s-bar-weekly.toml", at.Format("2006"), at.Format("2006-01-02T1504")), strings.ReplaceAll(check, "2026-11-19T08:12:00+01:00", at.Format(time.RFC3339)))
		}
		job := string(s.files["jobs/2026/j-1.toml"].Data)
		for month := range 18 {
			day := first.AddDate(0, month, 0)
			put(fmt.Sprintf("jobs/%s/j-%s-%d.toml", day.Format("2006"), id, month),
				strings.NewReplacer("2026-10-20", day.Format("2006-01-02"), "2026-10-21", day.Format("2006-01-02")).Replace(job))
		}
	}
	in := s.input(b)
	b.ReportAllocs()
	for b.Loop() {
		if len(clauses(in)) == 0 {
			b.Fatal("no answers")
		}
	}
}
