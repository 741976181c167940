package dispatch_test

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// A webhook that does not answer holds up neither mail nor the log.
func TestSlowWebhookHoldsUpNobody(t *testing.T) {
	answer := make(chan struct{})
	slow := newHook(t, func(http.ResponseWriter, *http.Request) { <-answer })
	mail := &post{}
	port, end := mail.serve(t, "127.0.0.1:0")
	defer end()
	k := open(t, &records.Site{
		Name: "Works", Channels: []records.Channel{hookAt("slow", slow.URL), mailAt(port)},
		Routes: []records.Route{{Channel: "slow"}, {Channel: "mail"}, {Channel: "log"}},
	})
	k.observe(finding("scan-02", alert.Limited))
	k.out.Send(k.book.Due(k.at))
	for range 2 {
		r := k.result()
		if r.Delivery.Target.Channel == "slow" || r.Err != nil {
			t.Errorf("%s: %v", r.Delivery.Target, r.Err)
		}
		k.book.Delivered(r.Delivery, r.Err)
	}
	if got := k.book.Due(k.at); len(got) > 0 {
		t.Errorf("what is on its way is sent again: %v", got)
	}
	close(answer)
	if r := k.result(); r.Delivery.Target.Channel != "slow" || r.Err != nil {
		t.Errorf("%+v", r)
	}
	if got := mail.box(); len(got) != 1 || !strings.Contains(got[0].text, "Subject: limited: scan-02, a quantity failed") || !strings.Contains(got[0].text, "text/html") {
		t.Errorf("%+v", got)
	}
	if got := k.lines.String(); !strings.Contains(got, "subject=scan-02") {
		t.Error(got)
	}
}

func TestWebhookFirst500Then200(t *testing.T) {
	n := 0
	h := newHook(t, func(w http.ResponseWriter, _ *http.Request) {
		if n++; n == 1 {
			w.WriteHeader(http.StatusInternalServerError)
		}
	})
	k := open(t, &records.Site{Channels: []records.Channel{hookAt("hook", h.URL)}, Routes: []records.Route{{Channel: "hook"}}})
	k.observe(finding("scan-02", alert.Limited))
	results := k.until(k.at.Add(24 * time.Hour))
	if len(results) != 2 || results[0].Err == nil || results[1].Err != nil {
		t.Errorf("%+v", results)
	}
	if got := h.all(); len(got) != 2 || got[0][:22] != got[1][:22] { // the same id
		t.Errorf("%q", got)
	}
}

// The server is away for an hour by the book's clock, and a restart falls into it.
func TestMailServerDownForAnHour(t *testing.T) {
	mail := &post{}
	port, end := mail.serve(t, "127.0.0.1:0")
	end()
	k := open(t, &records.Site{Channels: []records.Channel{mailAt(port)}, Routes: []records.Route{{Channel: "mail"}}})
	began := k.at
	k.observe(finding("scan-02", alert.Limited))
	down := k.until(began.Add(30 * time.Minute))
	k.out.Close()
	k.book.Close()
	k.start()
	k.observe(finding("scan-02", alert.Limited))
	down = append(down, k.until(began.Add(time.Hour))...)
	failed := 0
	for _, r := range down {
		switch {
		case r.Delivery.Target.Channel != "mail":
		case r.Err == nil:
			t.Error("mail arrived nowhere")
		default:
			failed++
		}
	}
	if failed < 6 || failed > 30 {
		t.Errorf("%d attempts in an hour", failed)
	}
	if got := k.lines.String(); !strings.Contains(got, "nothing reaches mail since") {
		t.Errorf("nobody was told by another way: %s", got)
	}
	_, end = mail.serve(t, fmt.Sprintf("127.0.0.1:%d", port))
	defer end()
	k.until(k.at.Add(20 * time.Minute))
	k.observe() // mended
	k.until(k.at.Add(24 * time.Hour))
	got := mail.box()
	if len(got) != 2 || !strings.Contains(got[0].text, "Subject: limited: scan-02") || !strings.Contains(got[1].text, "Subject: cleared: scan-02") {
		t.Errorf("%d letters: %v", len(got), got)
	}
}

// Who has the message does not get it again because the server does not know another.
func TestSomeOfAChannelAreNotTold(t *testing.T) {
	mail := &post{}
	port, end := mail.serve(t, "127.0.0.1:0")
	defer end()
	to := mailAt(port)
	to.To = []string{"measuring@works.example", "nobody@works.example"}
	k := open(t, &records.Site{Channels: []records.Channel{to}, Routes: []records.Route{{Channel: "mail"}}})
	k.observe(finding("scan-02", alert.Limited))
	k.until(k.at.Add(48 * time.Hour))
	if got := mail.box(); len(got) != 1 || cmp.Diff(got[0].to, to.To[:1]) != "" {
		t.Errorf("%v", got)
	}
	if got := k.lines.String(); !strings.Contains(got, "not everybody of mail is reached") || !strings.Contains(got, "550") {
		t.Error(got)
	}
}

// A channel without its secret is a finding; it works as soon as the secret is there, and with another after the
// receiver has refused the first.
func TestSecretsComeAndChange(t *testing.T) {
	h := newHook(t, func(w http.ResponseWriter, r *http.Request) {
		if _, password, _ := r.BasicAuth(); password != "second" {
			w.WriteHeader(http.StatusUnauthorized)
		}
	})
	c := hookAt("hook", h.URL)
	c.User, c.PasswordFile = "watch", filepath.Join(t.TempDir(), "password")
	site := &records.Site{Channels: []records.Channel{c}, Routes: []records.Route{{Channel: "hook"}}}
	k := open(t, site)
	got := k.out.Configure(site)
	if len(got) != 1 || got[0].About != "hook" || got[0].Severity != alert.Fault || !strings.Contains(got[0].Sentence, "password-file") || got[0].Mend == "" {
		t.Errorf("%+v", got)
	}
	k.observe(finding("scan-02", alert.Limited))
	results := k.until(k.at)
	for _, password := range []string{"first", "second"} {
		if err := os.WriteFile(c.PasswordFile, []byte(password), 0o600); err != nil {
			t.Fatal(err)
		}
		results = append(results, k.until(k.at.Add(time.Hour))...)
	}
	var ends []string
	for _, r := range results {
		if r.Delivery.Target.Channel == "hook" {
			text := "taken"
			if r.Err != nil {
				text = r.Err.Error()
			}
			ends = append(ends, text[:5])
		}
	}
	last := len(ends) - 1
	if ends[0] != "chann" || ends[last] != "taken" || ends[last-1] != "webho" {
		t.Errorf("%q", ends)
	}
	if got := k.out.Configure(site); len(got) > 0 {
		t.Errorf("%+v", got)
	}
}

// Other settings hold for what is sent from then on. A channel that is taken out answers too.
func TestOtherSettings(t *testing.T) {
	first, second := newHook(t, nil), newHook(t, nil)
	k := open(t, &records.Site{Channels: []records.Channel{hookAt("a", first.URL), hookAt("b", first.URL)}, Routes: []records.Route{{Channel: "a"}, {Channel: "b"}}})
	k.observe(finding("scan-02", alert.Limited))
	due := k.book.Due(k.at)
	k.out.Configure(&records.Site{Channels: []records.Channel{hookAt("a", second.URL)}})
	k.out.Send(due)
	for range due {
		switch r := k.result(); {
		case r.Delivery.Target.Channel == "a" && r.Err != nil:
			t.Error(r.Err)
		case r.Delivery.Target.Channel == "b" && (r.Err == nil || r.Err.Error() != `there is no channel "b" any more`):
			t.Error(r.Err)
		}
	}
	if len(first.all()) != 0 || len(second.all()) != 1 {
		t.Errorf("%d to the first, %d to the second", len(first.all()), len(second.all()))
	}
}

// A receiver that says nothing is left within three seconds, and what was sent before that is still told.
func TestCloseEndsWhatIsOnItsWay(t *testing.T) {
	never := newHook(t, func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() })
	k := open(t, &records.Site{Channels: []records.Channel{hookAt("never", never.URL)}, Routes: []records.Route{{Channel: "never"}, {Channel: "log"}}})
	k.observe(finding("scan-02", alert.Limited))
	k.out.Send(k.book.Due(k.at))
	began := time.Now()
	k.out.Close()
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("it took %s", took)
	}
	ends := map[string]bool{}
	for range 2 {
		r := k.result()
		ends[r.Delivery.Target.Channel] = r.Err == nil
	}
	if diff := cmp.Diff(map[string]bool{"never": false, "log": true}, ends); diff != "" {
		t.Error(diff)
	}
	k.out.Send(k.book.Due(k.at.Add(time.Hour))) // comes to nothing
	k.out.Beat(k.at, k.at)
	k.out.Close()
}

func TestBeat(t *testing.T) {
	answer := make(chan int, 10)
	h := newHook(t, func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(<-answer) })
	k := open(t, &records.Site{Name: "Works"})
	k.out.Beat(k.at, k.at.Add(time.Minute)) // to nobody
	site := &records.Site{Name: "Works", Channels: []records.Channel{hookAt("hook", h.URL)}, Watch: records.SiteWatch{Heartbeat: "hook"}}
	k.out.Configure(site)
	for range 3 {
		k.out.Beat(k.at, k.at.Add(time.Minute)) // two of them while the first is on its way
	}
	answer <- 200
	if r := k.result(); !r.Beat || r.Err != nil {
		t.Errorf("%+v", r)
	}
	k.out.Beat(k.at.Add(time.Minute), k.at.Add(2*time.Minute))
	answer <- 500
	if r := k.result(); !r.Beat || r.Err == nil {
		t.Errorf("%+v", r)
	}
	if got := h.all(); len(got) != 2 || !strings.Contains(got[0], `"kind":"heartbeat"`) || !strings.Contains(got[0], `"until":"2026-10-05T06:01:00Z"`) {
		t.Errorf("%q", got)
	}
}

func TestCheck(t *testing.T) {
	h := newHook(t, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/no" {
			w.WriteHeader(http.StatusNotFound)
		}
	})
	mail := &post{}
	port, end := mail.serve(t, "127.0.0.1:0")
	defer end()
	k := open(t, &records.Site{
		Name: "Works", Persons: []records.Person{{Initials: "mk", Mail: "mk@works.example"}, {Initials: "ab"}},
		Channels: []records.Channel{mailAt(port), hookAt("spare", h.URL), hookAt("wrong", h.URL+"/no"), {Name: "bad", Kind: records.CommandChannel}},
		Routes: []records.Route{
			{Channel: "mail", Persons: []string{"mk", "ab"}},
			{Channel: "mail"},
			{Channel: "mail", Persons: []string{"mk"}},
			{Channel: "wrong", Escalate: records.Escalation{Channel: "nowhere"}},
		},
	})
	var got []string
	for _, c := range k.out.Check(k.at) {
		text := "in order"
		if c.Err != nil {
			text, _, _ = strings.Cut(c.Err.Error(), ",")
		}
		got = append(got, c.Target.String()+" ("+c.Kind+"): "+strings.ReplaceAll(text, h.URL, "URL"))
	}
	if diff := cmp.Diff([]string{
		`bad (command): channel "bad": command is missing`,
		"log (log): in order",
		"mail (mail): in order",
		"mail:ab (mail): plumbrule.toml has no mail address of ab; add mail to the person",
		"mail:mk (mail): in order",
		"spare (webhook): in order",
		"wrong (webhook): webhook URL takes no message at this url: 404 Not Found; check the url's path",
	}, got); diff != "" {
		t.Error(diff)
	}
	if got := mail.box(); len(got) != 2 || got[0].to[0] == got[1].to[0] {
		t.Errorf("%v", got)
	}
}

func TestMessage(t *testing.T) {
	at := time.Date(2026, 10, 5, 6, 0, 0, 0, time.UTC)
	zone := time.FixedZone("CEST", 7200)
	site := &records.Site{
		Name: "Works", Zone: zone, Persons: []records.Person{{Initials: "mk", Mail: "mk@works.example"}},
		Channels: []records.Channel{mailAt(25), {Name: "am", Kind: records.AlertmanagerChannel}},
	}
	a := alert.Alert{
		Finding: alert.Finding{
			Key: alert.Key{Subject: "scan-02", Code: "quantity-failed", About: "distance"}, Severity: alert.Unfit, Sentence: "s", Mend: "m",
			Kind: "handheld scanner", Place: "hall 3", Sources: []string{"a.toml:7"},
		},
		ID: "abc", Raised: at, Since: at, Worst: alert.Unfit, Told: &alert.Told{At: at, Severity: alert.Limited},
		Acknowledged: &alert.Acknowledgement{By: "ab", Why: "w", At: at, Severity: alert.Limited},
	}
	d := alert.Delivery{ID: "d1", Target: alert.Target{Channel: "mail", Person: "mk"}, Kind: alert.KindReminder, Alerts: []alert.Alert{a}, At: at}
	want := channel.Message{
		ID: "d1", At: at.In(zone), Kind: channel.KindReminder, Site: "Works", Person: "mk", To: []string{"mk@works.example"},
		Alerts: []channel.Alert{{
			ID: "abc", Subject: "scan-02", Code: "quantity-failed", About: "distance", DeviceKind: "handheld scanner", Place: "hall 3", Severity: "unfit", Was: "limited",
			Sentence: "s", Mend: "m", Sources: []string{"a.toml:7"}, State: channel.StateRaised, Raised: at,
			Acknowledged: &channel.Acknowledgement{By: "ab", Why: "w", At: at},
		}},
	}
	got, err := dispatch.Message(&d, site)
	if err != nil || !strings.HasPrefix(got.Subject, "reminder: unfit: scan-02") || !strings.Contains(got.Text, "2026-10-05 08:00 CEST") || got.HTML == "" {
		t.Errorf("%v %+v", err, got)
	}
	got.Subject, got.Text, got.HTML = "", "", ""
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}

	d.Target = alert.Target{Channel: "am"}
	if got, err := dispatch.Message(&d, site); err != nil || got.Text != "" || got.To != nil || len(got.Alerts) != 1 {
		t.Errorf("%v %+v", err, got)
	}
	d.Target = alert.Target{Channel: "mail", Person: "zz"}
	var refused interface{ Temporary() bool }
	if _, err := dispatch.Message(&d, site); err == nil {
		t.Error("somebody unknown can be written to")
	} else if refused = err.(interface{ Temporary() bool }); refused.Temporary() {
		t.Errorf("%v is tried again and again", err)
	}
}
