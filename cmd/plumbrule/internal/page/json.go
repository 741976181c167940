package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"time"
	"unicode"
	"unicode/utf16"

	"plumbrule/cmd/plumbrule/internal/alert"
)

const jsonKind = "application/json"

// jsonAnswer writes a value as JSON.
func jsonAnswer(value any) (*answer, error) {
	body, err := encode(value)
	if err != nil {
		return nil, err
	}
	return newAnswer(jsonKind, body), nil
}

// encode writes JSON in which characters that cannot be seen are escaped: the same value, and harmless wherever it is shown.
func encode(value any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetIndent("", "  ")
	if err := e.Encode(value); err != nil {
		return nil, err
	}
	if !bytes.ContainsFunc(out.Bytes(), unseen) {
		return out.Bytes(), nil
	}
	var safe bytes.Buffer
	for _, r := range out.String() {
		switch {
		case !unseen(r):
			safe.WriteRune(r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&safe, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&safe, `\u%04x`, r)
		}
	}
	return safe.Bytes(), nil
}

func unseen(r rune) bool { return r != '\n' && !unicode.IsGraphic(r) }

// alertsJSON is the JSON of the alerts: an interface, to which fields are only added.
type alertsJSON struct {
	Site   string      `json:"site"`
	At     string      `json:"at"`
	Alerts []alertJSON `json:"alerts"`
}

type alertJSON struct {
	State alert.State `json:"state"`
	alert.Alert
}

func alertsJSONOf(e *edition) alertsJSON {
	out := alertsJSON{Site: e.site(), At: e.At.In(e.zone()).Format(time.RFC3339), Alerts: []alertJSON{}}
	for i := range e.Alerts {
		out.Alerts = append(out.Alerts, alertJSON{e.Alerts[i].State(), e.Alerts[i]})
	}
	return out
}

// healthJSON is the watcher itself, as it is now.
func (s *Server) healthJSON(w http.ResponseWriter, r *http.Request) {
	_, h := s.now()
	if h.Trouble == nil {
		h.Trouble = []string{}
	}
	if h.Notes == nil {
		h.Notes = []string{}
	}
	a, err := jsonAnswer(struct {
		Now     time.Time `json:"now"`
		Version string    `json:"version"`
		Health
	}{s.settings.Clock.Now().UTC(), s.settings.Version, h})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	a.ServeHTTP(w, r)
}
