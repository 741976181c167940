package message

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

var update = flag.Bool("update", false, "write the messages into testdata, to be read")

func berlin(tb testing.TB) *time.Location {
	tb.Helper()
	z, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		tb.Fatal(err)
	}
	return z
}

var at = time.Date(2026, 10, 5, 6, 0, 0, 0, time.UTC)

func failed() alert.Alert {
	return alert.Alert{
		Finding: alert.Finding{
			Key: alert.Key{Subject: "scan-02", Code: "quantity-failed", About: "distance"}, Severity: alert.Limited,
			Sentence: "A-C: error +170.0 µm, limit 155.0 µm, U = 12.0 µm (fail by iso-14253-1, check of 2026-10-05)",
			Mend:     "verify the finding with a second artifact or person; then adjust or repair, and check again",
			Kind:     "handheld scanner", Place: "hall 2",
			Sources: []string{"checks/scan-02/2026/2026-10-05T0752-bar-weekly.toml:17", "devices/scan-02.toml:21"},
		},
		ID: "0123456789ab", Worst: alert.Limited, Raised: at, Since: at, Changed: at, Why: alert.KindRaised,
	}
}

func overdue() alert.Alert {
	a := failed()
	a.Key = alert.Key{Subject: "scan-03", Code: "calibration-overdue"}
	a.Severity, a.Worst, a.ID = alert.Unfit, alert.Unfit, "9876543210ff"
	a.Sentence, a.Mend = "calibration, last on 2025-10-03, was due by 2026-10-03", "have it calibrated; an extension can only be recorded before the date"
	a.Sources = []string{"devices/scan-03.toml:12"}
	return a
}

// deliveries are messages of every kind.
func deliveries() map[string]alert.Delivery {
	again := failed()
	again.Raised, again.Since, again.Changed = at.Add(-26*time.Hour), at.Add(-26*time.Hour), at.Add(-26*time.Hour)
	again.Why, again.Told = alert.KindReminder, &alert.Told{At: at.Add(-24 * time.Hour), Severity: alert.Limited, Sentence: again.Sentence}
	graver := again
	graver.Severity, graver.Worst, graver.Since, graver.Why = alert.Unfit, alert.Unfit, at, alert.KindRaised
	graver.Sentence = "A-C: error +171.5 µm, A: error +41.0 µm"
	graver.Acknowledged = &alert.Acknowledgement{By: "mk", Why: "distance is not measured with it", At: at.Add(-20 * time.Hour), Severity: alert.Limited}
	nobody := again
	nobody.Why, nobody.Told = alert.KindEscalation, nil
	over := again
	over.Why, over.Gone, over.Cleared = alert.KindCleared, at.Add(-5*time.Minute), at
	over.Worst = alert.Unfit
	known := over
	known.Acknowledged = &alert.Acknowledgement{By: "mk", Why: "sent for repair", At: at.Add(-20 * time.Hour), Severity: alert.Unfit}
	away := failed()
	away.Gone = at.Add(-time.Minute)
	watcher := alert.Alert{
		Finding: alert.Finding{
			Key: alert.Key{Subject: alert.Watcher, Code: "channel-failing", About: "mail"}, Severity: alert.Fault,
			Sentence: "nothing reaches mail:mk since 2026-10-05 07:00 CEST, 9 attempts: connection refused", Mend: "look at the channel in plumbrule.toml and at the server",
		},
		ID: "ffffffffffff", Worst: alert.Fault, Raised: at, Since: at, Changed: at, Why: alert.KindRaised,
	}
	hostile := failed()
	hostile.Subject = "scan\r\nBcc: everybody@works.example"
	hostile.Code, hostile.About = "<b>code</b>", "a\u202eb"
	hostile.Severity = "unfit\x1b[31m"
	hostile.Sentence = "<script>alert(1)</script> & \"quoted\" \u202egnp.\u2066exe\x00\x1b[2J " + strings.Repeat("W", 300) + " שלום " + strings.Repeat("long ", 400)
	hostile.Mend = "</p></body><img src=https://works.example/x> {{.Site}} \n-- \nforged foot"
	hostile.Sources = []string{"checks/\u200b<a href=x>.toml:1", "\n\nfile", strings.Repeat("x/", 300), "4", "5", "6", "7", "8", "9", "10"}
	hostile.Acknowledged = &alert.Acknowledgement{By: "m\nk", Why: "<i>\u0007", At: at, Severity: alert.Fit}
	hostile.ID = "1\n2"
	d := func(kind alert.Kind, list ...alert.Alert) alert.Delivery {
		return alert.Delivery{ID: "00", Target: alert.Target{Channel: "mail", Person: "mk"}, Kind: kind, Alerts: list, At: at}
	}
	return map[string]alert.Delivery{
		"raised":     d(alert.KindRaised, failed()),
		"together":   d(alert.KindRaised, watcher, overdue(), failed()),
		"graver":     d(alert.KindRaised, graver),
		"reminder":   d(alert.KindReminder, again),
		"escalation": d(alert.KindEscalation, nobody),
		"cleared":    d(alert.KindCleared, known),
		"digest":     d(alert.KindDigest, overdue(), away, over),
		"hostile":    d(alert.KindRaised, hostile),
	}
}

func TestMessages(t *testing.T) {
	for name, d := range deliveries() {
		t.Run(name, func(t *testing.T) {
			c := Compose(d, "Propellerwerk Quellmar, measuring room", berlin(t))
			for file, got := range map[string]string{name + ".txt": "Subject: " + c.Subject + "\n\n" + c.Text, name + ".html": c.HTML} {
				path := filepath.Join("testdata", file)
				if *update {
					if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(path)
				if err != nil {
					t.Fatal(err)
				}
				if got != string(want) {
					t.Errorf("%s:\n%s", file, got)
				}
			}
			harmless(t, c, d)
		})
	}
}

// fataler is what a test and a property have in common.
type fataler interface {
	Errorf(format string, args ...any)
}

// harmless checks what holds for every message whatever it tells.
func harmless(t fataler, c Content, d alert.Delivery) {
	if strings.ContainsFunc(c.Subject, func(r rune) bool { return !unicode.IsGraphic(r) }) || show.Width(c.Subject) > widestSubject || c.Subject == "" {
		t.Errorf("subject %q", c.Subject)
	}
	for name, text := range map[string]string{"text": c.Text, "html": c.HTML} {
		if !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r != '\n' && !unicode.IsGraphic(r) }) {
			t.Errorf("%s holds characters that act: %q", name, text)
		}
	}
	if n := strings.Count(c.Text, "\n-- \n"); n != 1 {
		t.Errorf("%d feet", n)
	}
	for _, text := range []string{c.Text, c.HTML} {
		plain := strings.ReplaceAll(strings.Join(strings.Fields(text), " "), "&#39;", "'")
		if n := strings.Count(plain, "local codes and licensed practice"); n < 1 {
			t.Errorf("the caution is missing in\n%s", text)
		}
	}
	paths := map[string]bool{} // which are not broken, so that they can be copied
	for i := range d.Alerts {
		for _, s := range d.Alerts[i].Sources {
			paths["  "+line(s, longestSource)] = true
		}
	}
	for l := range strings.Lines(c.Text) {
		if l = strings.TrimSuffix(l, "\n"); show.Width(l) > textWidth && !paths[l] {
			t.Errorf("a line of %d columns: %q", show.Width(l), l)
		}
	}
	// Of tags and attributes there are those of the page itself, and no others.
	allowed := map[string]bool{}
	for _, tag := range tags(page) {
		allowed[tag] = true
	}
	for _, tag := range tags(c.HTML) {
		if !allowed[tag] {
			t.Errorf("a foreign tag %s", tag)
		}
	}
	if regexp.MustCompile(`(?i)<(img|script|link|iframe|a) |https?://[^ ]*"`).MatchString(c.HTML) {
		t.Errorf("the page leads out:\n%s", c.HTML)
	}
}

// tags lists the tags of a page, with what differs from one alert to the next
// left out.
func tags(html string) []string {
	html = regexp.MustCompile(`border-left:5px solid [^"]*`).ReplaceAllString(html, "border-left:5px solid X")
	return regexp.MustCompile(`<[^>]*>`).FindAllString(html, -1)
}

// Whatever records hold, messages stay harmless and say who and what.
func TestForeignTextIsHarmless(t *testing.T) {
	nasty := rapid.StringOf(rapid.OneOf(rapid.Rune(), rapid.SampledFrom([]rune("<>&\"'{}\n\r\t\x00\x1b\u202e\u2066\u200b\u00a0\u2028 -.:aä計א"))))
	rapid.Check(t, func(t *rapid.T) {
		a := failed()
		for _, s := range []*string{&a.Subject, &a.Code, &a.About, &a.Severity, &a.Sentence, &a.Mend, &a.ID} {
			*s = nasty.Draw(t, "text")
		}
		a.Sources = rapid.SliceOfN(nasty, 0, 12).Draw(t, "sources")
		a.Why = rapid.SampledFrom([]alert.Kind{alert.KindRaised, alert.KindCleared, alert.KindReminder}).Draw(t, "why")
		if rapid.Bool().Draw(t, "told") {
			a.Told = &alert.Told{At: at, Severity: nasty.Draw(t, "was"), Sentence: nasty.Draw(t, "said")}
		}
		d := alert.Delivery{Kind: a.Why, Alerts: []alert.Alert{a}, At: at}
		harmless(t, Compose(d, nasty.Draw(t, "site"), nil), d)
	})
}

// The colours stand out from white and from black by 3 to 1 (WCAG 2.2, 1.4.11; the
// contrast is that of its definitions of relative luminance and contrast ratio).
func TestColoursInLightAndDark(t *testing.T) {
	for _, severity := range append(records.Severities(), "other") {
		for _, mark := range []string{"UNFIT", "CLEARED"} {
			l := luminance(t, string(colour(item{Severity: severity, Mark: mark})))
			if white, black := 1.05/(l+0.05), (l+0.05)/0.05; white < 3 || black < 3 {
				t.Errorf("%s: %.2f to 1 against white, %.2f to 1 against black", severity, white, black)
			}
		}
	}
	// Texts have no colour of their own, and the program is told that both suit.
	if strings.Contains(strings.ReplaceAll(page, "color-scheme", ""), "color:") || strings.Contains(page, "background") || !strings.Contains(page, `content="light dark"`) {
		t.Error("texts or backgrounds have colours of their own")
	}
}
