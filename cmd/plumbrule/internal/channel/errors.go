package channel

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Error says why a message was not delivered.
type Error struct {
	Place string // what was talked to: "mail server localhost:25"
	What  string // what it did, or what became of the attempt
	Mend  string // what would mend it; may be empty
	// Refused: it was said for good that this message will not be taken.
	Refused bool
	// Partly: some of those who were to get it have got it. If it is Refused besides, the message is delivered as far as it
	// ever will be: sent once more under another ID it would only come twice to those who have it.
	Partly bool
	// Wait is how long the other side asked to wait, 0 if it did not.
	Wait time.Duration
	Err  error // what is behind it, or nil
}

func (e *Error) Error() string {
	text := e.Place + " " + e.What
	if e.Mend != "" {
		text += "; " + e.Mend
	}
	return text
}

func (e *Error) Unwrap() error { return e.Err }

// Temporary reports whether the message should be sent again later.
func (e *Error) Temporary() bool { return !e.Refused }

// Partial reports whether some have got the message and the others never will: then it must not be sent again.
func (e *Error) Partial() bool { return e.Refused && e.Partly }

// RetryAfter is how long to wait before that at least, 0 if it was not said.
func (e *Error) RetryAfter() time.Duration { return e.Wait }

// SettingError is a setting that a channel cannot work with.
type SettingError struct {
	Channel  string // its name
	Key      string
	Found    string
	Expected string
	Mend     string // may be empty
}

func (e *SettingError) Error() string {
	text := fmt.Sprintf("channel %q: %s is %s, expected %s", e.Channel, e.Key, e.Found, e.Expected)
	if e.Mend != "" {
		text += "; " + e.Mend
	}
	return text
}

// found quotes a setting, or says that there is none.
func found(text string) string {
	if text == "" {
		return "missing"
	}
	return strconv.Quote(text)
}

func foundAll(texts []string) string {
	if len(texts) == 0 {
		return "missing"
	}
	quoted := make([]string, len(texts))
	for i, text := range texts {
		quoted[i] = strconv.Quote(text)
	}
	return strings.Join(quoted, " ")
}
