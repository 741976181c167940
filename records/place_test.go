package records_test

import (
	"testing"

	"plumbrule/records"
)

func TestKindOf(t *testing.T) {
	for file, want := range map[string][2]string{
		"plumbrule.toml":                            {"site", ""},
		"devices/scan-1.toml":                       {"device", "scan-1"},
		"checks/scan-1/2026/2026-01-02T0812-b.toml": {"check", "scan-1"},
		"certificates/bar-1/2026-01-02-K.toml":      {"certificate", "bar-1"},
		"jobs/2026/p-1.toml":                        {"job", "p-1"},
		"checks/scan-1/a.toml":                      {"", ""},
		"certificates/bar-1/2026-01-02-K.pdf":       {"", ""},
		"README.md":                                 {"", ""},
	} {
		if kind, subject := records.KindOf(file); kind != want[0] || subject != want[1] {
			t.Errorf("%s: %q, %q; want %q", file, kind, subject, want)
		}
	}
}
