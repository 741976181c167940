package channel

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"time"
)

// The kinds of message.
const (
	KindRaised     = "raised"     // at least one alert is new
	KindCleared    = "cleared"    // all are over
	KindReminder   = "reminder"   // nobody has acknowledged them
	KindEscalation = "escalation" // nor has the first person, so this goes to a second one
	KindDigest     = "digest"     // what stands, told in regular intervals
	KindTest       = "test"       // nothing has happened: is the channel in order?
	KindHeartbeat  = "heartbeat"  // nothing has happened, but silence would mean something
)

// The states of an alert.
const (
	StateRaised       = "raised"
	StateAcknowledged = "acknowledged"
	StateCleared      = "cleared"
)

// Message is what is told at once to one channel. Subject, Text and HTML are for people and say the same; Alerts are for programs.
//
// Subject is one line. HTML is a whole page or empty, with all foreign text in it escaped already; Text and what stands in
// Alerts need no preparation: each channel makes it harmless in its own way.
type Message struct {
	// ID is the same for each attempt to send this message, and different for every other one. At is when it was made.
	// No message goes without both.
	ID string
	At time.Time

	Kind, Site          string
	Person              string   // initials of who is to be told; empty: whoever listens to the channel
	To                  []string // the person's mail addresses; empty: those of the channel
	Subject, Text, HTML string
	Alerts              []Alert
	Until               time.Time // of a heartbeat: when silence has lasted too long
}

// Alert is one reason that stands or stood.
type Alert struct {
	ID string
	// Subject, Code and About name the alert among those that stand: a device, an artifact, "site" or "watcher"; a reason's
	// code; and what of the subject it is about, where one code may stand several times.
	Subject, Code, About string
	// DeviceKind and Place are the device's, where there is one and they are stated.
	DeviceKind, Place string
	Severity          string // "unfit", "unknown", "limited", "fit"; "fault" for the watcher's own
	Was               string // severity that the reader was told last; empty: nothing was
	Sentence, Mend    string
	Sources           []string // file:line
	State             string   // [StateRaised], [StateAcknowledged], [StateCleared]
	Raised            time.Time
	Cleared           time.Time // zero while it stands
	Acknowledged      *Acknowledgement
}

// Acknowledgement says who knows of an alert and what is done about it.
type Acknowledgement struct {
	By, Why string
	At      time.Time
}

// TestMessage is what is sent to see whether a channel is in order. It carries an alert, so that it takes the way alerts
// take, also behind the channel. Two tests of the same instant have the same ID.
func TestMessage(site string, at time.Time) Message {
	const sentence = "The watcher was asked to try its channels. Nothing has happened and nothing is to be done."
	return Message{
		ID: "test-" + at.UTC().Format("20060102T150405.000000000Z"), At: at,
		Kind: KindTest, Site: site,
		Subject: site + ": test of the alerts",
		Text:    sentence + "\n",
		Alerts: []Alert{{
			Subject: "watcher", Code: "test-message", Severity: "fit", Sentence: sentence, State: StateRaised, Raised: at,
		}},
	}
}

// Heartbeat is a sign of life. Whoever has not got another one by until should look what has become of the watcher.
func Heartbeat(site string, at, until time.Time) Message {
	return Message{
		ID: "heartbeat-" + at.UTC().Format("20060102T150405.000000000Z"), At: at, Until: until,
		Kind: KindHeartbeat, Site: site,
		Subject: site + ": the watcher is at work",
		Text:    "The watcher is at work. Silence after " + until.Format(time.RFC3339) + " means that it is not.\n",
	}
}

// longestToken keeps names derived from an ID well inside the lines of mail and HTTP.
const longestToken = 64

// token is the ID as it may stand in headers: itself, or a hash of it where it has signs that mean something there.
func (m Message) token() string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_'
	}
	if len(m.ID) <= longestToken && strings.TrimFunc(m.ID, plain) == "" {
		return m.ID
	}
	sum := sha256.Sum256([]byte(m.ID))
	return hex.EncodeToString(sum[:])
}

// sendable refuses what no receiver could tell from another message.
func (m Message) sendable() error {
	switch {
	case m.ID == "":
		return &Error{Place: "message", What: "has no ID, expected one that stays the same when it is sent again", Refused: true}
	case m.At.IsZero():
		return &Error{Place: "message " + m.token(), What: "has no time, expected when it was made", Refused: true}
	}
	return nil
}
