package records

import (
	"fmt"
	"net/url"
	"slices"

	"plumbrule/records/spelling"
)

// channelNeeds lists the keys that a kind of channel must have, and those it
// may have beside.
func channelNeeds(kind string) (must, may []string) {
	switch kind {
	case LogChannel:
		return nil, []string{"format"}
	case MailChannel:
		return []string{"server", "from"}, []string{"port", "security", "hello", "user", "password-env", "password-file", "to", "ca-file", "unencrypted", "timeout"}
	case WebhookChannel:
		return []string{"url"}, []string{"secret-env", "secret-file", "user", "password-env", "password-file", "ca-file", "unencrypted", "timeout"}
	case CommandChannel:
		return []string{"command"}, []string{"timeout"}
	}
	return []string{"url"}, []string{"user", "password-env", "password-file", "ca-file", "unencrypted", "timeout"}
}

// given lists the keys of a channel that are stated, but for name and kind.
func (c *Channel) given(k *keys[Channel]) []string {
	var out []string
	for i := range k.list {
		var w writer
		if k.list[i].write(&w, "", c); w.b.Len() > 0 && k.list[i].name != "name" && k.list[i].name != "kind" {
			out = append(out, k.list[i].name)
		}
	}
	return out
}

func (w *settingsChecker) channel(i int) {
	c, at := &w.site.Channels[i], row("channel", i)
	must, may := channelNeeds(c.Kind)
	keys := channelKeys()
	given := c.given(keys)
	for _, name := range must {
		if !slices.Contains(given, name) {
			w.fault("missing-key", w.site.File, at.at("kind"), fmt.Sprintf("a channel of kind %s needs %s", c.Kind, name), "add "+keys.example(name))
		}
	}
	for _, name := range given {
		if !slices.Contains(must, name) && !slices.Contains(may, name) {
			w.fault("unknown-key", w.site.File, at.at(name).named(), fmt.Sprintf("%s is no key of a channel of kind %s", name, c.Kind), "delete it, or mend kind")
		}
	}
	w.either("channel", i+1, "password-env", c.PasswordEnv, "password-file", c.PasswordFile)
	w.either("channel", i+1, "secret-env", c.SecretEnv, "secret-file", c.SecretFile)
	password := c.PasswordEnv != "" || c.PasswordFile != ""
	if len(c.Command) > 0 && (c.Command[0] == "" || outsideFault(c.Command[0]).expected != "") {
		w.fault("unusable-setting", w.site.File, at.at("command").value(0), fmt.Sprintf("the program is %q, expected a path from the root of the file system", c.Command[0]),
			"write its whole path: no shell and no PATH looks for it")
	}
	switch {
	case c.Kind == LogChannel || c.Kind == CommandChannel:
		return
	case c.User != "" && !password:
		w.fault("missing-key", w.site.File, at.at("user"), "the channel has a user and no password", "add password-env or password-file")
	case c.User == "" && password:
		w.fault("missing-key", w.site.File, at, "the channel has a password and no user", "add user")
	}
	if c.Unencrypted {
		return
	}
	if c.Security == NoSecurity && c.Server != "" && !loopback(c.Server) {
		w.fault("unsafe-setting", w.site.File, at.at("security"), fmt.Sprintf("mail goes to %s without encryption", c.Server),
			`write security = "starttls" or "tls", or unencrypted = true where the way is safe otherwise`)
	}
	if host, inClear := clearHost(c.URL); inClear && !loopback(host) {
		w.fault("unsafe-setting", w.site.File, at.at("url"), fmt.Sprintf("what is posted goes to %s without encryption", host),
			"write https, or unencrypted = true where the way is safe otherwise")
	}
}

// clearHost returns the host of an address, and whether the way there is in the
// clear.
func clearHost(address string) (host string, inClear bool) {
	u, err := url.Parse(address)
	if err != nil {
		return "", false
	}
	return u.Hostname(), u.Scheme == "http"
}

func (w *settingsChecker) route(i int) {
	r, at := &w.site.Routes[i], row("route", i)
	used := w.knownChannel(r.Channel, at.at("channel"))
	w.told(used, r.Persons, at, "persons")
	w.escalation(r, used, at)
	ids := slices.Concat(sortedKeys(w.devices), sortedKeys(w.artifacts), []string{"site", "watcher"})
	w.effect(r.Devices, ids, "device or artifact", at.at("devices"))
	var kinds []string
	whole := true // the kind of every device is known
	for _, d := range w.devices {
		if d == nil {
			whole = false
			continue
		}
		kinds = append(kinds, d.Kind)
	}
	if whole {
		slices.Sort(kinds)
		w.effect(r.Kinds, slices.Compact(kinds), "kind of device", at.at("kinds"))
	}
}

func (w *settingsChecker) escalation(r *Route, used *Channel, at spot) {
	e := &r.Escalate
	switch {
	case e.After.IsZero() && len(e.To) == 0 && e.Channel == "":
		return
	case e.After.IsZero():
		w.fault("missing-key", w.site.File, at, "the route says who is told when nobody acknowledges, and not when", `add escalate-after = "4 h"`)
	case len(e.To) == 0 && e.Channel == "":
		w.fault("missing-key", w.site.File, at.at("escalate-after"), "the route says when others are told, and not who", "add escalate-to or escalate-channel")
	}
	if e.Channel != "" {
		used = w.knownChannel(e.Channel, at.at("escalate-channel"))
	}
	w.told(used, e.To, at, "escalate-to")
	same := e.Channel == "" || e.Channel == r.Channel
	for j, p := range e.To {
		if same && slices.Contains(r.Persons, p) {
			w.fault("unsafe-setting", w.site.File, at.at("escalate-to").value(j), fmt.Sprintf("%s is told first and, when nobody acknowledges, again: nobody else learns of it", p), "name somebody else, or use remind")
		}
	}
}

// told checks that the persons are there and can be told by a channel, nil for
// one that is not known, and that it has whom to tell without them.
func (w *settingsChecker) told(used *Channel, persons []string, at spot, key string) {
	for j, initials := range persons {
		p := w.site.Person(initials)
		if p == nil {
			w.unknownPerson(initials, at.at(key).value(j))
			continue
		}
		switch {
		case used == nil:
		case used.Kind == MailChannel && p.Mail == "":
			w.fault("missing-key", w.site.File, at.at(key).value(j), fmt.Sprintf("%s is told by mail, and has no address", initials), "add mail to the person")
		case used.Kind == LogChannel || used.Kind == AlertmanagerChannel:
			w.fault("unknown-key", w.site.File, at.at(key).named(), fmt.Sprintf("channel %s, of kind %s, tells no persons", used.Name, used.Kind), "delete "+key+", or use another channel")
			return
		}
	}
	if used != nil && used.Kind == MailChannel && len(persons) == 0 && len(used.To) == 0 {
		w.fault("missing-key", w.site.File, at, fmt.Sprintf("channel %s does not know whom to write to", used.Name), "add "+key+" here, or to in the channel")
	}
}

func (w *settingsChecker) unknownPerson(initials string, at spot) {
	var names []string
	for i := range w.site.Persons {
		names = append(names, w.site.Persons[i].Initials)
	}
	mend := "add [[person]] with these initials"
	if near := spelling.Nearest(initials, names); near != "" {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	w.fault("unknown-person", w.site.File, at, fmt.Sprintf("there is no person %q", initials), mend)
}

// drop checks that everything a check needs is known of what is dropped.
func (w *settingsChecker) drop(i int) {
	d, at := &w.site.Drops[i], row("drop", i)
	for _, k := range []struct{ key, what, value string }{
		{"device", "which device scanned", d.Device}, {"artifact", "which artifact was scanned", d.Artifact}, {"by", "who measured", d.By},
	} {
		switch read := d.Reads(k.key); {
		case k.value == "" && !read:
			w.fault("missing-key", w.site.File, at.at("name"), fmt.Sprintf("neither the name nor a key tells %s", k.what), fmt.Sprintf("add %s, or {%s} to the name", k.key, k.key))
		case k.value != "" && read:
			w.fault("unknown-key", w.site.File, at.at(k.key).named(), fmt.Sprintf("{%s} in the name and the key %s both tell it", k.key, k.key), "keep one of the two")
		}
	}
	if c := &d.Conditions; c.Stated && d.Compensated {
		w.fault("unknown-key", w.site.File, at.at("artifact-temperature").named(), "lengths already at 20 °C need no temperature", "keep one of artifact-temperature and compensated")
	} else if c.Stated == c.TemperatureUncertainty.IsZero() {
		w.fault("missing-key", w.site.File, at, "only one of artifact-temperature and temperature-uncertainty is stated", "state both, or neither: a file beside the scan must then say them")
	}
	for _, k := range []struct {
		key, id string
		known   []string
	}{
		{"device", d.Device, sortedKeys(w.devices)},
		{"artifact", d.Artifact, sortedKeys(w.artifacts)},
		{"procedure", d.Procedure, sortedKeys(w.procedures)},
	} {
		if k.id != "" {
			w.effectOf(k.id, k.known, k.key, at.at(k.key))
		}
	}
}

// effectOf reports an id without a record.
func (w *settingsChecker) effectOf(id string, known []string, what string, at spot) {
	if slices.Contains(known, id) || w.load.mayBeLost(what+"s/"+id+suffix) {
		return
	}
	mend := ""
	if near := spelling.Nearest(id, known); near != "" {
		mend = fmt.Sprintf("did you mean %s?", near)
	}
	w.fault("setting-without-effect", w.site.File, at, fmt.Sprintf("there is no %s %q", what, id), mend)
}
