package records

import (
	"fmt"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

func watchTables() []key[Site] {
	return []key[Site]{
		table("watch", "settings of the watcher (plumbrule watch)", watchKeys(), func(s *Site) *SiteWatch { return &s.Watch }, func(s *Site) bool { return s.Watch.stated() }, nil),
		table("inbox", "settings of the folder inbox, into which scans are dropped", inboxKeys(), func(s *Site) *SiteInbox { return &s.Inbox }, func(s *Site) bool { return s.Inbox != SiteInbox{} }, nil),
		table("page", "settings of the status page", pageKeys(), func(s *Site) *SitePage { return &s.Page }, func(s *Site) bool { return s.Page != SitePage{} }, nil),
		tables("drop", "what a file dropped into the inbox is, by its name, as far as no sidecar beside it says so (explain sidecar); the first that fits holds", dropKeys(), func(s *Site) *[]Drop { return &s.Drops }, func(d *Drop) *int { return &d.Line }),
		tables("person", "somebody who can be told", personKeys(), func(s *Site) *[]Person { return &s.Persons }, func(p *Person) *int { return &p.Line }),
		tables("channel", "one way to tell somebody; a channel log is there without being written", channelKeys(), func(s *Site) *[]Channel { return &s.Channels }, func(c *Channel) *int { return &c.Line }),
		tables("route", "who is told of which alerts: all its conditions must hold, and every route that fits is used; what fits none goes to the log, and a fault of the watcher to all", routeKeys(), func(s *Site) *[]Route { return &s.Routes }, func(r *Route) *int { return &r.Line }),
	}
}

func watchKeys() *keys[SiteWatch] {
	return newKeys(
		elapsed("settle", "how long a file must not have changed before it is read; default 2 s", func(w *SiteWatch) *quantity.Duration { return &w.Settle }),
		elapsed("rescan", "how often everything is looked through, whatever the system reports of changes; default 10 min", func(w *SiteWatch) *quantity.Duration { return &w.Rescan }),
		elapsed("calm", "how long a reason must be gone before its alert is cleared; one that comes back sooner was never gone; default 5 min", func(w *SiteWatch) *quantity.Duration { return &w.Calm }),
		elapsed("remind", "how often routes that say nothing else remind of alerts that nobody has acknowledged; default never", func(w *SiteWatch) *quantity.Duration { return &w.Remind }),
		weekly("quiet", "quiet hours in the site's zone: what would be told in them is told together when they end; the log and an alertmanager are told at any hour", func(w *SiteWatch) *[]quantity.Hours { return &w.Quiet }),
		word("urgent", "severity from which on quiet and working hours do not count; default none", Severities(), func(w *SiteWatch) *string { return &w.Urgent }),
		text("heartbeat", "channel that is given a sign of life, so that silence is noticed; default none", func(w *SiteWatch) *string { return &w.Heartbeat }),
		elapsed("heartbeat-every", "how often; default 5 min", func(w *SiteWatch) *quantity.Duration { return &w.Every }),
		truth("commit", "checks taken in from the inbox are committed, with the operator as author; default false", func(w *SiteWatch) *bool { return &w.Commit }),
		truth("push", "and pushed; default false", func(w *SiteWatch) *bool { return &w.Push }),
	)
}

func inboxKeys() *keys[SiteInbox] {
	return newKeys(
		elapsed("stable", "how long size and time of a dropped file must not have changed before it is taken in; default 5 s", func(i *SiteInbox) *quantity.Duration { return &i.Stable }),
	)
}

func pageKeys() *keys[SitePage] {
	return newKeys(
		checked("listen", `address and port, "127.0.0.1:8340", or "none"`, "where the page is served; another address than this machine's own needs a token or client certificates; default 127.0.0.1:8340", listenFault, func(p *SitePage) *string { return &p.Listen }),
		checked("token-env", variableForm, "environment variable with the token that readers must give", variableFault, func(p *SitePage) *string { return &p.TokenEnv }),
		checked("token-file", outsideForm, "file that holds that token", outsideFault, func(p *SitePage) *string { return &p.TokenFile }),
		checked("certificate", outsideForm, "file with the page's certificate and those that vouch for it, in PEM; with it the page is served by TLS", outsideFault, func(p *SitePage) *string { return &p.Certificate }),
		checked("key", outsideForm, "file with its private key, in PEM", outsideFault, func(p *SitePage) *string { return &p.Key }),
		checked("clients", outsideForm, "file with the authorities, in PEM, one of which must have signed a reader's certificate", outsideFault, func(p *SitePage) *string { return &p.Clients }),
	)
}

func dropKeys() *keys[Drop] {
	return newKeys(
		need(checked("name", `pattern of file names, "{device}+bar-*.ply"`, "* is any text, ? one character; what stands for {device}, {artifact} or {by} is read from the name", dropNameFault, func(d *Drop) *string { return &d.Name })),
		need(ident("procedure", "procedure followed", func(d *Drop) *string { return &d.Procedure })),
		ident("device", "device that scanned; needed where the name does not tell", func(d *Drop) *string { return &d.Device }),
		ident("artifact", "artifact scanned; needed where the name does not tell", func(d *Drop) *string { return &d.Artifact }),
		text("by", "who measured; needed where the name does not tell", func(d *Drop) *string { return &d.By }),
		word("unit", "unit of the scan's numbers; the site's otherwise", units(), func(d *Drop) *string { return &d.Unit }),
		truth("compensated", "lengths in the scan are already those at 20 °C", func(d *Drop) *bool { return &d.Compensated }),
		artifactTemperature("artifact-temperature", "temperature of the artifact, where it is always the same", func(d *Drop) *quantity.Temperature { return &d.Conditions.ArtifactTemperature }, func(d *Drop) *bool { return &d.Conditions.Stated }),
		inText("temperature-uncertainty", `uncertainty, "0.3 °C (k = 2)"`, "its uncertainty", quantity.ParseTemperatureUncertainty, func(d *Drop) *quantity.TemperatureUncertainty { return &d.Conditions.TemperatureUncertainty }),
		dullingSpray("dulling-spray", "thickness of a matting layer on the spheres", func(d *Drop) *quantity.Length { return &d.Conditions.DullingSpray }),
		featurePaths("paths", "path travelled while measuring a feature, where it is always the same", func(d *Drop) *[]FeaturePath { return &d.Paths }),
	)
}

func personKeys() *keys[Person] {
	return newKeys(
		need(ident("initials", "initials, as in records", func(p *Person) *string { return &p.Initials })),
		checked("mail", mailForm, "address", mailFault, func(p *Person) *string { return &p.Mail }),
		weekly("working-hours", "hours in the site's zone in which the person is told; what comes before is told together when they begin; default always", func(p *Person) *[]quantity.Hours { return &p.Working }),
	)
}

func channelKeys() *keys[Channel] {
	return newKeys(
		need(ident("name", "name by which routes call it", func(c *Channel) *string { return &c.Name })),
		need(word("kind", "what it is", ChannelKinds(), func(c *Channel) *string { return &c.Kind })),
		word("format", "log: how lines are written; default as the program's other lines", []string{"text", "json"}, func(c *Channel) *string { return &c.Format }),
		checked("server", `name or address without port, "mail.works.example"`, "mail: the server that sends", hostFault, func(c *Channel) *string { return &c.Server }),
		integer("port", "mail: its port; default 587 with starttls, 465 with tls, 25 with none", 1, 65535, func(c *Channel) *int { return &c.Port }),
		word("security", "mail: how the way there is secured; none only to this machine, or with unencrypted; default starttls", []string{StartTLS, TLS, NoSecurity}, func(c *Channel) *string { return &c.Security }),
		checked("hello", `name, "watch.works.example"`, "mail: name this machine gives itself; default its address", hostFault, func(c *Channel) *string { return &c.Hello }),
		text("user", "mail, webhook, alertmanager: name at the server; default no authentication", func(c *Channel) *string { return &c.User }),
		checked("password-env", variableForm, "environment variable with the password of that user", variableFault, func(c *Channel) *string { return &c.PasswordEnv }),
		checked("password-file", outsideForm, "file that holds that password, which others must not be able to read", outsideFault, func(c *Channel) *string { return &c.PasswordFile }),
		checked("from", mailForm, "mail: address of the sender", mailFault, func(c *Channel) *string { return &c.From }),
		checkedList("to", `list of addresses, ["measuring@works.example"]`, "mail: who is told where a route names no persons", mailFault, func(c *Channel) *[]string { return &c.To }),
		checked("url", `address, "https://hooks.works.example/plumbrule"`, "webhook: where the alert is posted; alertmanager: its address, without /api", addressFault, func(c *Channel) *string { return &c.URL }),
		checked("secret-env", variableForm, "webhook: environment variable with the secret, of 16 bytes or more, by which what is posted is signed; default it is not signed", variableFault, func(c *Channel) *string { return &c.SecretEnv }),
		checked("secret-file", outsideForm, "webhook: file that holds that secret, which others must not be able to read", outsideFault, func(c *Channel) *string { return &c.SecretFile }),
		texts("command", `list of program and arguments, ["/usr/local/bin/tell", "--urgent"]`, "command: what is run, by no shell; it reads the alert as JSON", func(c *Channel) *[]string { return &c.Command }),
		checked("ca-file", outsideForm, "mail, webhook, alertmanager: file with the authorities, in PEM, trusted instead of the system's", outsideFault, func(c *Channel) *string { return &c.CAFile }),
		truth("unencrypted", "mail, webhook, alertmanager: the way to another machine may be in the clear, because it is safe otherwise; default false", func(c *Channel) *bool { return &c.Unencrypted }),
		elapsed("timeout", "how long one delivery may take; default 10 s, by mail 30 s", func(c *Channel) *quantity.Duration { return &c.Timeout }),
	)
}

func routeKeys() *keys[Route] {
	return newKeys(
		patterns("devices", "devices and artifacts it is for, and site or watcher for what concerns these; default all", func(r *Route) *[]string { return &r.Devices }),
		patterns("kinds", "kinds of devices it is for; default all", func(r *Route) *[]string { return &r.Kinds }),
		patterns("places", "places of devices it is for; default all", func(r *Route) *[]string { return &r.Places }),
		patterns("reasons", "reason codes it is for (explain reasons lists them); default all", func(r *Route) *[]string { return &r.Reasons }),
		word("severity", "severity from which on it is used; default fit, all", Severities(), func(r *Route) *string { return &r.Severity }),
		weekly("hours", "hours in the site's zone in which it is used; what comes before is told together when they begin; default always", func(r *Route) *[]quantity.Hours { return &r.Hours }),
		need(text("channel", "channel it uses", func(r *Route) *string { return &r.Channel })),
		texts("persons", "list of initials", "who is told, each alone; default the channel as a whole", func(r *Route) *[]string { return &r.Persons }),
		elapsed("group", "how long what arrives is gathered for one message; default no time: what is found at once is told at once, in one message", func(r *Route) *quantity.Duration { return &r.Group }),
		elapsed("remind", "how often to remind of alerts that nobody has acknowledged; default the site's", func(r *Route) *quantity.Duration { return &r.Remind }),
		truth("at-any-hour", "quiet and working hours do not count here; default false", func(r *Route) *bool { return &r.AnyHour }),
		elapsed("escalate-after", "how long after somebody could have been told others are told, if nobody has acknowledged; default never", func(r *Route) *quantity.Duration { return &r.Escalate.After }),
		texts("escalate-to", "list of initials", "who is told then", func(r *Route) *[]string { return &r.Escalate.To }),
		text("escalate-channel", "channel used then; default the same", func(r *Route) *string { return &r.Escalate.Channel }),
	)
}

// elapsed is a key whose value is a duration.
func elapsed[T any](name, doc string, at func(*T) *quantity.Duration) key[T] {
	return inText(name, `duration, "2 s", "10 min" or "1 day"`, doc, quantity.ParseDuration, at)
}

// weekly is a key whose value is a list of hours of the week.
func weekly[T any](name, doc string, at func(*T) *[]quantity.Hours) key[T] {
	const form = `list of hours, "monday-friday 07:00-16:00", "22:00-06:00" or "saturday"`
	return key[T]{
		name: name, form: form, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			d.eachElement(n, name, func(e source.Node) {
				if h, ok := readQuantity(d, e, name, form, quantity.ParseHours); ok {
					*at(into) = append(*at(into), h)
				}
			})
		},
		write: func(w *writer, name string, from *T) {
			var list []string
			for _, h := range *at(from) {
				list = append(list, h.String())
			}
			writeList(w, name, list)
		},
	}
}

// featurePaths is the key of the paths of features, written in one line.
func featurePaths[T any](name, doc string, at func(*T) *[]FeaturePath) key[T] {
	return key[T]{
		name: name, form: `table of features with lengths, { "A-C" = "2.6 m" }`, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if n.Kind() != source.Table {
				d.report("wrong-type", n.ValueOffset(), fmt.Sprintf("%s is %s, expected a table of features with lengths", name, withArticle(n.Kind())), `write it like { "A-C" = "2.6 m" }`)
				return
			}
			for e := range n.Children() {
				if v, ok := readQuantity(d, e, name+"."+e.Key(), `length, "2.6 m"`, positiveLength); ok {
					*at(into) = append(*at(into), FeaturePath{Feature: d.keep(e.Key()), Path: v})
				}
			}
		},
		write: func(w *writer, name string, from *T) {
			text := ""
			for _, p := range *at(from) {
				if text != "" {
					text += ", "
				}
				text += formatKey(p.Feature) + " = " + quote(p.Path.String())
			}
			if text != "" {
				w.raw(name, "{ "+text+" }")
			}
		},
	}
}
