package message

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/show"
)

// widestSubject is the length in columns that every mail program shows (RFC 5322,
// 2.1.1).
const widestSubject = 78

// subject names the worst alert first.
func subject(d alert.Delivery) string {
	if len(d.Alerts) == 0 {
		return "nothing to tell"
	}
	worst := &d.Alerts[0]
	head := ""
	switch d.Kind {
	case alert.KindReminder:
		head = "reminder: "
	case alert.KindEscalation:
		head = "not acknowledged: "
	case alert.KindCleared, alert.KindDigest, alert.KindRaised, alert.KindTest:
	}
	state := line(worst.Severity, 16)
	if !worst.Cleared.IsZero() {
		state = "cleared"
	}
	head += state + ": "
	tail := ""
	if n := len(d.Alerts) - 1; n > 0 {
		tail = fmt.Sprintf(" (and %d more)", n)
	}
	what := line(worst.Subject, longestName) + ", " + title(worst)
	return head + fit(what, widestSubject-show.Width(head+tail)) + tail
}

// fit cuts a text to so many columns.
func fit(s string, columns int) string {
	if show.Width(s) <= columns {
		return s
	}
	out := ""
	for _, r := range s {
		if show.Width(out+string(r)) > columns-1 {
			break
		}
		out += string(r)
	}
	return strings.TrimSpace(out) + "…"
}

// headline counts what a message tells.
func headline(d alert.Delivery) string {
	var graver, fresh, again, over, escalated int
	for i := range d.Alerts {
		switch a := &d.Alerts[i]; {
		case a.Why == alert.KindCleared:
			over++
		case a.Why == alert.KindEscalation:
			escalated++
		case a.Why == alert.KindReminder:
			again++
		case a.Told != nil:
			graver++
		default:
			fresh++
		}
	}
	var parts []string
	say := func(n int, words string) {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, words))
		}
	}
	say(escalated, "that nobody has acknowledged")
	say(fresh, "new")
	say(graver, "graver than before")
	say(again, "not acknowledged yet")
	say(over, "cleared")
	out := "Alerts: " + strings.Join(parts, ", ")
	if d.Kind == alert.KindDigest {
		out += ". Some of it was held back until now, for quiet or working hours"
	}
	return out + "."
}
