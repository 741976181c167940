package records

import (
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records/quantity"
)

const watched = `
[watch]
settle = "500 ms"
quiet = ["22:00-06:00", "sunday"]
urgent = "unfit"
heartbeat = "hook"
commit = true

[[drop]]
name = "{device}+*.ply"
artifact = "bar-3s"
procedure = "bar-weekly"
by = "mk"
artifact-temperature = "20.0 °C"
temperature-uncertainty = "0.5 °C (rectangular)"
paths = { "A-C" = "2.6 m" }

[[person]]
initials = "mk"
mail = "mk@works.example"
working-hours = ["monday-friday 07:00-16:00"]

[[person]]
initials = "ab"

[[channel]]
name = "mail"
kind = "mail"
server = "mail.works.example"
security = "tls"
from = "plumbrule@works.example"

[[channel]]
name = "hook"
kind = "webhook"
url = "https://hooks.works.example/"
timeout = "3 s"

[[route]]
devices = ["scan-*"]
severity = "limited"
channel = "mail"
persons = ["mk"]
group = "10 s"
remind = "1 day"
escalate-after = "4 h"
escalate-to = ["ab"]
escalate-channel = "hook"

[[route]]
channel = "log"
`

func goodSite(t *testing.T, further string) (*Site, []Diagnostic) {
	t.Helper()
	files := goodFiles(t)
	files[SiteFile] = &fstest.MapFile{Data: []byte(string(files[SiteFile].Data) + further)}
	set, found := Load(files, Options{At: evaluated, CrossCheck: true})
	return set.Site, found
}

func TestWatchSettings(t *testing.T) {
	s, found := goodSite(t, watched)
	if len(found) > 0 {
		t.Fatal(printed(found))
	}
	w := &s.Watch
	if w.SettleTime() != 500*time.Millisecond || w.Urgent != "unfit" || w.Heartbeat != "hook" || !w.Commit || w.Push ||
		len(w.Quiet) != 2 || w.Quiet[1].String() != "sunday" {
		t.Errorf("%+v", w)
	}
	d := &s.Drops[0]
	if d.Paths[0].Feature != "A-C" || d.Paths[0].Path.Millimetres() != 2600 || d.Conditions.ArtifactTemperature.Celsius() != 20 || !d.Conditions.Stated {
		t.Errorf("%+v", d)
	}
	mail, hook := s.Channel("mail"), s.Channel("hook")
	if mail.MailPort() != 465 || mail.TimeoutTime() != 30*time.Second || hook.TimeoutTime() != 3*time.Second {
		t.Errorf("%+v %+v", mail, hook)
	}
	if log := s.Channel("log"); log == nil || log.Kind != LogChannel || s.Channel("other") != nil {
		t.Errorf("log: %+v", log)
	}
	if p := s.Person("mk"); p == nil || p.Mail != "mk@works.example" || s.Person("zz") != nil {
		t.Errorf("person: %+v", p)
	}
	r := &s.Routes[0]
	if r.RemindTime(w) != 24*time.Hour || s.Routes[1].RemindTime(w) != 0 || r.Escalate.After.Time() != 4*time.Hour || r.Escalate.Channel != "hook" {
		t.Errorf("%+v", r)
	}
}

// Without any settings there is a log, and the times are those documented.
func TestWatchDefaults(t *testing.T) {
	s, _ := goodSite(t, "")
	got := map[string]any{
		"settle": s.Watch.SettleTime(), "rescan": s.Watch.RescanTime(), "calm": s.Watch.CalmTime(), "heartbeat-every": s.Watch.HeartbeatTime(),
		"stable": s.Inbox.StableTime(), "listen": s.Page.Address(),
		"port starttls": (&Channel{Kind: MailChannel}).MailPort(), "port none": (&Channel{Kind: MailChannel, Security: NoSecurity}).MailPort(),
		"port": (&Channel{Kind: MailChannel, Port: 2525, Security: TLS}).MailPort(),
		"none": (&SitePage{Listen: NoPage}).Address(), "other": (&SitePage{Listen: "[::1]:1"}).Address(),
	}
	// Ports: RFC 6409 (587), RFC 8314 (465), RFC 5321 (25).
	want := map[string]any{
		"settle": 2 * time.Second, "rescan": 10 * time.Minute, "calm": 5 * time.Minute, "heartbeat-every": 5 * time.Minute,
		"stable": 5 * time.Second, "listen": "127.0.0.1:8340", "port starttls": 587, "port none": 25, "port": 2525, "none": "", "other": "[::1]:1",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	remind, err := quantity.ParseDuration("2 days")
	if err != nil {
		t.Fatal(err)
	}
	if got := (&Route{}).RemindTime(&SiteWatch{Remind: remind}); got != 48*time.Hour {
		t.Errorf("the site's reminders come after %v", got)
	}
}

// Every default that a key's text promises is the one the code gives.
func TestDocumentedDefaultsHold(t *testing.T) {
	s, _ := goodSite(t, "")
	given := map[string]time.Duration{
		"watch.settle": s.Watch.SettleTime(), "watch.rescan": s.Watch.RescanTime(), "watch.calm": s.Watch.CalmTime(),
		"watch.heartbeat-every": s.Watch.HeartbeatTime(), "inbox.stable": s.Inbox.StableTime(), "channel.timeout": (&Channel{}).TimeoutTime(),
	}
	for _, table := range siteKeys().docs() {
		for _, k := range table.Keys {
			want, there := given[table.Name+"."+k.Name]
			if !there {
				continue
			}
			delete(given, table.Name+"."+k.Name)
			found := regexp.MustCompile(`default (\d+ (?:s|min))`).FindStringSubmatch(k.Doc)
			if found == nil {
				t.Errorf("%s.%s: no default in %q", table.Name, k.Name, k.Doc)
				continue
			}
			if d, err := quantity.ParseDuration(found[1]); err != nil || d.Time() != want {
				t.Errorf("%s.%s says default %s, is %v", table.Name, k.Name, found[1], want)
			}
		}
	}
	if len(given) > 0 {
		t.Errorf("not documented: %v", given)
	}
}

// The settings shown to newcomers can be used as they stand.
func TestTemplateOfSettings(t *testing.T) {
	text, err := os.ReadFile("../cmd/plumbrule/template/plumbrule.toml")
	if err != nil {
		t.Fatal(err)
	}
	_, settings, found := strings.Cut(string(text), "# The watcher")
	if !found {
		t.Fatal("the template does not speak of the watcher")
	}
	var shown strings.Builder
	for line := range strings.Lines(settings) {
		if line, ok := strings.CutPrefix(line, "# "); ok {
			shown.WriteString(line)
		}
	}
	shown.WriteString("[[person]]\ninitials = \"ab\"\nmail = \"ab@works.example\"\n[[channel]]\nname = \"hook\"\nkind = \"webhook\"\nurl = \"https://hooks.works.example\"\n")
	_, faults := goodSite(t, "\n"+shown.String())
	for _, d := range faults {
		if d.Code != "setting-without-effect" {
			t.Errorf("%s\n%s", d, d.Excerpt)
		}
	}
}

func TestDropMatch(t *testing.T) {
	for _, c := range []struct {
		pattern, name         string
		fits                  bool
		device, artifact, who string
	}{
		{"*.ply", "a.ply", true, "", "", ""},
		{"*.ply", ".ply", true, "", "", ""},
		{"*.ply", "a.ply.tmp", false, "", "", ""},
		{"*.ply", "a.PLY", false, "", "", ""},
		{"bar?.ply", "bar1.ply", true, "", "", ""},
		{"bar?.ply", "barµ.ply", true, "", "", ""},
		{"bar?.ply", "bar12.ply", false, "", "", ""},
		{"a.b", "aXb", false, "", "", ""},
		{"{device}+bar-*.ply", "scan-02+bar-7 of 9.ply", true, "scan-02", "", ""},
		{"{device}+bar-*.ply", "scan-02+bar-+bar-.ply", true, "scan-02", "", ""},
		{"{device}+bar-*.ply", "+bar-1.ply", false, "", "", ""},
		{"{device}+bar-*.ply", "scan 02+bar-1.ply", false, "", "", ""},
		{"{device}.ply", "scan-02-.ply", false, "", "", ""},
		{"{by} {artifact} {device}.e57", "mk bar-3s scan.02.e57", true, "scan.02", "bar-3s", "mk"},
		{"*+{device}.ply", "a+b+c.ply", true, "c", "", ""},
	} {
		d := &Drop{Name: c.pattern, Procedure: "p"}
		got, fits := d.Match(c.name)
		if fits != c.fits || fits && (got.Device != c.device || got.Artifact != c.artifact || got.By != c.who || got.Procedure != "p") {
			t.Errorf("%q against %q: %v, %+v", c.name, c.pattern, fits, got)
		}
		if d.Device != "" {
			t.Error("the setting itself was changed")
		}
	}
	for pattern, want := range map[string]string{
		"{device}-{artifact}.ply":  "{device} ends and {artifact} begins",
		"{device}-*.ply":           "{device} ends and * begins",
		"*{device}":                "* ends and {device} begins",
		"{device}?{by}":            "{device} ends and {by} begins",
		"{device}+{device}":        "each once",
		"{day}":                    `"{day}" is none of`,
		"{device":                  `"{" is none of`,
		"in/*.ply":                 "a folder",
		"\xff":                     "UTF-8",
		"{device}+{artifact}.ply":  "",
		"{device}µ*":               "",
		"**.ply":                   "",
		"{device} ?{by}[x](y).ply": "",
	} {
		_, fault := (&Drop{Name: pattern}).expression()
		if !strings.Contains(fault, want) || (want == "") != (fault == "") {
			t.Errorf("%q: %q, want %q", pattern, fault, want)
		}
	}
}
