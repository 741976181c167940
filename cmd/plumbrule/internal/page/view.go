package page

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// View is a snapshot of all that the page shows. Nothing in it is changed once it was given to [Server.Show].
type View struct {
	At          time.Time
	Zone        *time.Location // of the site; nil: UTC
	Set         *records.Set
	Diagnostics []records.Diagnostic
	Assessment  *rules.Assessment
	Alerts      []alert.Alert

	// Charts draws the control charts of a device; nil: there are none. It is called when somebody looks at one, possibly by
	// several goroutines at once.
	Charts func(device string) ([]Chart, error)
	// Data gives what the pages show as values for JSON; nil: the addresses of these answer 404.
	Data Data

	Health Health
}

// Chart is a control chart drawn; its names are those of [rules.Chart].
type Chart struct {
	Procedure, Artifact, Feature string
	Quantity                     records.Quantity
	SVG                          []byte
}

// Data gives values that encoding/json can write.
type Data interface {
	Fleet() any
	Due() any
	Records() any
	Device(id string) any          // nil: there is no such device
	Charts(id string) (any, error) // nil: there is no such device
}

// Health is how the watcher itself is.
type Health struct {
	Started     time.Time `json:"started"`
	Evaluated   time.Time `json:"evaluated"` // when the records were judged last
	Evaluations int       `json:"evaluations"`
	Records     int       `json:"records"`

	Waiting int `json:"waiting"` // files in the inbox that are not taken in yet
	Taken   int `json:"taken"`   // files taken in since the start
	Refused int `json:"refused"` // and those that could not be

	// Blind says why the records cannot be judged at present, such as that they are not there; empty: they can. What is shown is
	// then what was known before.
	Blind   string   `json:"blind"`
	Trouble []string `json:"trouble"` // what does not work; every page begins with it
	Notes   []string `json:"notes"`   // what is worth knowing, such as that the folder is scanned because events do not arrive
}

func (v *View) zone() *time.Location {
	if v.Zone == nil {
		return time.UTC
	}
	return v.Zone
}

// site is the name of the site.
func (v *View) site() string {
	if v.Set == nil || v.Set.Site == nil {
		return "unreadable site"
	}
	return v.Set.Site.Name
}

// today is the local date of the snapshot.
func (v *View) today() calendar.Date { return calendar.Of(v.At, v.zone()) }

// device returns the assessment of a device, or nil.
func (v *View) device(id string) *rules.Device {
	for i := range v.Assessment.Devices {
		if v.Assessment.Devices[i].ID == id {
			return &v.Assessment.Devices[i]
		}
	}
	return nil
}
