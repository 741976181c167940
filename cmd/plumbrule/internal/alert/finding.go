package alert

import (
	"slices"

	"plumbrule/records"
)

// Key says what an alert is about. At any time at most one alert with the same
// key stands.
type Key struct {
	Subject string `json:"subject"`         // id of a device or an artifact, or "site" or "watcher"
	Code    string `json:"code"`            // of the reason
	About   string `json:"about,omitempty"` // what of the subject, where several things can have one code; see [About]
}

// Subjects of findings that are about no device.
const (
	Site    = "site"
	Watcher = "watcher"
)

// Severities of findings, from the least: the fitness that a reason leaves the
// device, and a fault of the watcher itself.
const (
	Fit     = "fit" // a remark that asks for attention
	Limited = "limited"
	Unknown = "unknown"
	Unfit   = "unfit"
	Fault   = "fault"
)

// Rank orders severities, 0 for the least. What is none of them is as grave as
// can be: it must not be missed.
func Rank(severity string) int {
	if i := slices.Index(records.Severities(), severity); i >= 0 {
		return i
	}
	return len(records.Severities())
}

// Finding is one thing that stands now. Its texts come from records and are
// foreign: they may hold anything.
type Finding struct {
	Key
	Severity string   `json:"severity"`
	Sentence string   `json:"sentence"`
	Mend     string   `json:"mend,omitempty"`
	Kind     string   `json:"kind,omitempty"`  // of the device
	Place    string   `json:"place,omitempty"` // of the device
	Sources  []string `json:"sources,omitempty"`
}
