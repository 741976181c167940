package channel

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"time"
)

// JSON is the message as programs get it, one line. All fields are always there; fields are added, never renamed or removed.
//
//	id              text          the same when the message is sent again
//	kind            text          raised, cleared, reminder, escalation, digest, test, heartbeat
//	site            text          the site's name
//	at              text          when the message was made, RFC 3339 with the offset of the site's zone
//	until           text or null  of a heartbeat: when silence has lasted too long, RFC 3339
//	person          text          initials of who is to be told; empty: whoever listens
//	subject         text          one line for people
//	text            text          the whole for people; cut beyond 1 MiB, saying so
//	alerts_omitted  whole number  how many alerts did not fit: what goes beyond 4 MiB is left out
//	alerts[]        list
//	  .id           text          the same through the alert's life
//	  .subject      text          device or artifact; "site" or "watcher" where it is neither
//	  .code         text          the reason's code
//	  .about        text          what of the subject, where one code may stand several times; else empty
//	  .device_kind  text          as its record states it, empty if there is none
//	  .place        text          likewise
//	  .severity     text          unfit, unknown, limited, fit, fault
//	  .sentence     text
//	  .mend         text          what would mend it; may be empty
//	  .sources[]    list of text  file:line in the records
//	  .state        text          raised, acknowledged, cleared
//	  .raised       text          RFC 3339
//	  .cleared      text or null  RFC 3339; null while it stands
//	  .acknowledged object or null
//	    .by         text
//	    .why        text
//	    .at         text          RFC 3339
//
// A sentence, a remedy or a reason of more than 64 KiB is cut, saying so, as are more than 1000 sources. HTML is left out: it is for mail. Foreign text is as it was recorded, control characters are escaped by JSON, and
// bytes that are not UTF-8 became U+FFFD.
func (m Message) JSON() []byte { return m.json(largestJSON) }

// What bounds a message as JSON. Five thousand alerts of ordinary length fit.
const (
	largestJSON     = 4 << 20
	longestSentence = 64 << 10
	mostSources     = 1000
)

func (m Message) json(most int) []byte {
	head := messageJSON{
		ID: m.ID, Kind: m.Kind, Site: m.Site, At: m.At.Format(time.RFC3339Nano), Until: instantOf(m.Until),
		Person: m.Person, Subject: m.Subject, Text: shorten(m.Text, longestText),
	}
	var alerts bytes.Buffer
	for i, a := range m.Alerts {
		next := marshal(alertOf(a))
		if alerts.Len()+len(next)+len(head.Text) > most {
			head.Omitted = len(m.Alerts) - i
			break
		}
		if i > 0 {
			alerts.WriteByte(',')
		}
		alerts.Write(next)
	}
	// The list is last, so that it can be written behind the rest without holding it twice.
	text := marshal(head)
	text = append(text[:len(text)-1], `,"alerts":[`...)
	text = append(text, alerts.Bytes()...)
	return append(text, "]}\n"...)
}

type messageJSON struct {
	ID      string  `json:"id"`
	Kind    string  `json:"kind"`
	Site    string  `json:"site"`
	At      string  `json:"at"`
	Until   *string `json:"until"`
	Person  string  `json:"person"`
	Subject string  `json:"subject"`
	Text    string  `json:"text"`
	Omitted int     `json:"alerts_omitted"`
}

type alertJSON struct {
	ID           string               `json:"id"`
	Subject      string               `json:"subject"`
	Code         string               `json:"code"`
	About        string               `json:"about"`
	DeviceKind   string               `json:"device_kind"`
	Place        string               `json:"place"`
	Severity     string               `json:"severity"`
	Sentence     string               `json:"sentence"`
	Mend         string               `json:"mend"`
	Sources      []string             `json:"sources"`
	State        string               `json:"state"`
	Raised       string               `json:"raised"`
	Cleared      *string              `json:"cleared"`
	Acknowledged *acknowledgementJSON `json:"acknowledged"`
}

type acknowledgementJSON struct {
	By  string `json:"by"`
	Why string `json:"why"`
	At  string `json:"at"`
}

func alertOf(a Alert) alertJSON {
	out := alertJSON{
		ID: a.ID, Subject: a.Subject, Code: a.Code, About: shorten(a.About, longestSentence), DeviceKind: a.DeviceKind, Place: a.Place, Severity: a.Severity,
		Sentence: shorten(a.Sentence, longestSentence), Mend: shorten(a.Mend, longestSentence), Sources: sourcesOf(a, mostSources),
		State: a.State, Raised: a.Raised.Format(time.RFC3339Nano), Cleared: instantOf(a.Cleared),
	}
	if a.Acknowledged != nil {
		out.Acknowledged = &acknowledgementJSON{
			By: a.Acknowledged.By, Why: shorten(a.Acknowledged.Why, longestSentence), At: a.Acknowledged.At.Format(time.RFC3339Nano),
		}
	}
	return out
}

// instantOf is nil for no instant.
func instantOf(at time.Time) *string {
	if at.IsZero() {
		return nil
	}
	text := at.Format(time.RFC3339Nano)
	return &text
}

// sourcesOf returns that many sources at most, never nil; a last one says how many are left out.
func sourcesOf(a Alert, most int) []string {
	if len(a.Sources) <= most {
		return append([]string{}, a.Sources...)
	}
	return append(append([]string{}, a.Sources[:most]...), fmt.Sprintf("… (%d more)", len(a.Sources)-most))
}

// marshal encodes structures of texts and whole numbers, which cannot go wrong; a null would be valid all the same.
func marshal(value any) []byte {
	text, err := json.Marshal(value)
	if err != nil {
		return []byte(strconv.Quote(err.Error()))
	}
	return text
}
