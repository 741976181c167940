package records

import (
	"path"
	"strings"
	"time"

	"plumbrule/records/quantity"
)

// SiteWatch are the settings of the watcher as a whole.
type SiteWatch struct {
	Settle    quantity.Duration // see SettleTime
	Rescan    quantity.Duration // see RescanTime
	Calm      quantity.Duration // see CalmTime
	Remind    quantity.Duration // see [Route.RemindTime]
	Quiet     []quantity.Hours  // in which nobody is told what is not urgent
	Urgent    string            // severity from which quiet and working hours do not count; empty: none
	Heartbeat string            // channel that gets the signs of life; empty: none
	Every     quantity.Duration // see HeartbeatTime
	Commit    bool              // checks taken in are committed
	Push      bool              // and pushed
}

func (w *SiteWatch) stated() bool {
	return !w.Settle.IsZero() || !w.Rescan.IsZero() || !w.Calm.IsZero() || !w.Remind.IsZero() || len(w.Quiet) > 0 ||
		w.Urgent != "" || w.Heartbeat != "" || !w.Every.IsZero() || w.Commit || w.Push
}

// SettleTime is how long a file must not have changed before it is read; 2 s
// if not stated, which outlasts editors that save in two steps.
func (w *SiteWatch) SettleTime() time.Duration { return orTime(w.Settle, 2*time.Second) }

// RescanTime is how often everything is looked through whatever the system
// reports; 10 min if not stated.
func (w *SiteWatch) RescanTime() time.Duration { return orTime(w.Rescan, 10*time.Minute) }

// CalmTime is how long a reason must be gone before its alert is cleared; 5 min
// if not stated.
func (w *SiteWatch) CalmTime() time.Duration { return orTime(w.Calm, 5*time.Minute) }

// HeartbeatTime is how often a sign of life is given; 5 min if not stated.
func (w *SiteWatch) HeartbeatTime() time.Duration { return orTime(w.Every, 5*time.Minute) }

func orTime(d quantity.Duration, otherwise time.Duration) time.Duration {
	if d.IsZero() {
		return otherwise
	}
	return d.Time()
}

// SiteInbox are the settings of the folder inbox, into which scans are dropped.
type SiteInbox struct {
	Stable quantity.Duration // see StableTime
}

// StableTime is how long size and time of a dropped file must not have changed
// before it is taken in; 5 s if not stated.
func (i *SiteInbox) StableTime() time.Duration { return orTime(i.Stable, 5*time.Second) }

// SitePage are the settings of the status page.
type SitePage struct {
	Listen      string // address and port, or "none"; empty: see Address
	TokenEnv    string // environment variable with the token asked of readers
	TokenFile   string // or the file it stands in
	Certificate string // file of the page's own certificate
	Key         string // file of its private key
	Clients     string // file of the authorities whose client certificates are let in
}

// NoPage is the value of listen by which no status page is served.
const NoPage = "none"

// Address is the address and port the page is served on; empty for none.
// Without settings it is one of this machine only.
func (p *SitePage) Address() string {
	switch p.Listen {
	case "":
		return "127.0.0.1:8340"
	case NoPage:
		return ""
	}
	return p.Listen
}

// Person is somebody who can be told.
type Person struct {
	Initials string
	Mail     string           // address; empty: cannot be told by mail
	Working  []quantity.Hours // working hours; empty: always
	Line     int
}

// Kinds of channels.
const (
	LogChannel          = "log"
	MailChannel         = "mail"
	WebhookChannel      = "webhook"
	CommandChannel      = "command"
	AlertmanagerChannel = "alertmanager"
)

// ChannelKinds lists the kinds of channels.
func ChannelKinds() []string {
	return []string{LogChannel, MailChannel, WebhookChannel, CommandChannel, AlertmanagerChannel}
}

// Security of the way to a mail server.
const (
	StartTLS   = "starttls"
	TLS        = "tls"
	NoSecurity = "none" // to this machine, or where unencrypted says that the way is safe otherwise
)

// Channel is one way to tell somebody. Which keys it has goes by its kind.
type Channel struct {
	Name string
	Kind string // one of [ChannelKinds]

	Format string // log: "text" or "json"; empty: that of the other lines

	Server       string   // mail: name or address of the server
	Hello        string   // mail: name of this machine; empty: its address
	Port         int      // mail: see MailPort
	Security     string   // mail: see MailSecurity
	User         string   // mail, webhook, alertmanager: empty: no authentication
	PasswordEnv  string   // environment variable with the password
	PasswordFile string   // or the file it stands in
	From         string   // mail: address of the sender
	To           []string // mail: addresses told where a route names no persons

	URL        string // webhook, alertmanager
	SecretEnv  string // webhook: environment variable with the secret that signs
	SecretFile string // webhook: or the file it stands in

	Command []string // command: program and arguments, no shell

	CAFile      string            // mail, webhook, alertmanager: authorities trusted instead of the system's
	Unencrypted bool              // mail, webhook, alertmanager: the way to another machine may be in the clear
	Timeout     quantity.Duration // see TimeoutTime
	Line        int
}

// MailSecurity is how the way to the mail server is secured; by STARTTLS if not
// stated (RFC 3207).
func (c *Channel) MailSecurity() string { return orElse(c.Security, StartTLS) }

// MailPort is the server's port. If not stated it goes by the security: 587 or
// 465 for submission (RFC 6409 and RFC 8314), 25 on this machine.
func (c *Channel) MailPort() int {
	switch {
	case c.Port != 0:
		return c.Port
	case c.MailSecurity() == TLS:
		return 465
	case c.MailSecurity() == NoSecurity:
		return 25
	}
	return 587
}

// TimeoutTime is how long one delivery may take; 10 s if not stated, 30 s by
// mail.
func (c *Channel) TimeoutTime() time.Duration {
	if c.Kind == MailChannel {
		return orTime(c.Timeout, 30*time.Second)
	}
	return orTime(c.Timeout, 10*time.Second)
}

// Severities lists how grave an alert can be, from the least: the fitness that
// its reason leaves the device, and a fault of the watcher's own.
func Severities() []string { return []string{"fit", "limited", "unknown", "unfit", "fault"} }

// Route says who is told of which alerts. All of its conditions must hold; a
// list holds when one of its patterns does, an empty one always.
type Route struct {
	Devices  []string // patterns of ids, of artifacts as well
	Kinds    []string // patterns of kinds of devices
	Places   []string // patterns of places
	Reasons  []string // patterns of reason codes
	Severity string   // at least; empty: any
	Hours    []quantity.Hours

	Channel string
	Persons []string // initials; empty: the channel as a whole

	Group    quantity.Duration // how long what arrives is gathered for one message
	Remind   quantity.Duration // see RemindTime
	AnyHour  bool              // quiet and working hours do not count
	Escalate Escalation
	Line     int
}

// Escalation says who else is told when nobody acknowledges.
type Escalation struct {
	After   quantity.Duration
	To      []string // initials
	Channel string   // empty: that of the route
}

// RemindTime is how often the route reminds of what nobody has acknowledged:
// its own time or else the site's; 0 for never.
func (r *Route) RemindTime(site *SiteWatch) time.Duration {
	return orTime(r.Remind, site.Remind.Time())
}

// Fits reports whether a pattern of a setting fits a name: * is any text, ? one
// character, [ab] one of these. A slash is a character like others.
func Fits(pattern, name string) bool {
	plain := strings.NewReplacer("/", "\x00")
	ok, err := path.Match(plain.Replace(pattern), plain.Replace(name))
	return ok && err == nil
}
