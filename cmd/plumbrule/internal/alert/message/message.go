package message

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules"
)

// Content is one message in the forms that channels send.
type Content struct {
	Subject string // one line of at most 78 columns
	Text    string // lines of at most 72 columns, but for paths and commands
	HTML    string // a whole page without scripts, images and addresses
}

// Caution stands once at the foot of every message.
const Caution = "This is a help for competent persons. Where measurements protect people, follow the laboratory's own procedures, local codes and licensed practice."

// Compose writes the message of a delivery; site is the name of the shop or
// laboratory and zone the one in which times are given, nil for UTC.
func Compose(d alert.Delivery, site string, zone *time.Location) Content {
	if zone == nil {
		zone = time.UTC
	}
	v := view{Site: line(site, 200), At: stamp(d.At, zone), Caution: Caution, Headline: headline(d)}
	for i := range d.Alerts[:min(len(d.Alerts), mostItems)] {
		v.Items = append(v.Items, itemOf(&d.Alerts[i], zone))
	}
	if more := len(d.Alerts) - mostItems; more > 0 {
		v.More = fmt.Sprintf("And %d more, less grave or younger: plumbrule alerts lists them.", more)
	}
	for i := range d.Alerts {
		if d.Alerts[i].State() == alert.Raised {
			v.Acknowledge = "plumbrule alerts acknowledge ID --by INITIALS --why REASON"
		}
	}
	return Content{Subject: subject(d), Text: v.text(), HTML: v.html()}
}

// view is what a message says, ready to be laid out. Its texts are harmless but
// for markup.
type view struct {
	Site, At    string
	Headline    string
	Items       []item
	More        string // of what is not listed; may be empty
	Acknowledge string // command; empty where there is nothing to acknowledge
	Caution     string
}

// item is what a message says of one alert.
type item struct {
	Mark     string // what it is told for, or how grave it is, in capital letters
	Severity string
	About    string   // subject and title
	Sentence string   // foreign
	Facts    []string // what happened to it, in sentences
	Mend     string
	Sources  []string
	ID       string
}

// Bounds in runes of what is taken from records.
const (
	longestSentence = 600
	longestName     = 80
	longestSource   = 200
	mostSources     = 8
	mostItems       = 50
)

func itemOf(a *alert.Alert, zone *time.Location) item {
	it := item{
		Mark: strings.ToUpper(line(a.Severity, longestName)), Severity: a.Severity, ID: line(a.ID, longestName),
		About: line(a.Subject, longestName) + ": " + title(a), Sentence: line(a.Sentence, longestSentence), Mend: line(a.Mend, longestSentence),
		Facts: facts(a, zone),
	}
	if !a.Cleared.IsZero() {
		it.Mark, it.Mend = "CLEARED", ""
	}
	for i, s := range a.Sources {
		if i == mostSources {
			it.Sources = append(it.Sources, fmt.Sprintf("and %d more", len(a.Sources)-i))
			break
		}
		it.Sources = append(it.Sources, line(s, longestSource))
	}
	return it
}

// title says in words what a reason code means.
func title(a *alert.Alert) string {
	out := strings.ReplaceAll(a.Code, "-", " ") // of the watcher itself
	for _, c := range rules.ReasonCodes() {
		if c.ID == a.Code {
			out = c.Title
		}
	}
	out = line(out, longestName)
	if about := line(a.About, longestName); about != "" && !strings.Contains(line(a.Sentence, longestSentence), about) {
		out += ", " + about
	}
	return out
}

// facts says what happened to an alert, and what is other than the reader was
// told last.
func facts(a *alert.Alert, zone *time.Location) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	raised := "Since " + stamp(a.Raised, zone)
	if !a.Cleared.IsZero() {
		raised = "From " + stamp(a.Raised, zone) + " to " + stamp(a.Gone, zone)
	} else if a.Since.After(a.Raised) && a.Severity == a.Worst {
		raised += ", " + word(a.Severity) + " since " + stamp(a.Since, zone)
	}
	say("%s.", raised)
	if alert.Rank(a.Worst) > alert.Rank(a.Severity) {
		say("It was %s before.", word(a.Worst))
	}
	if a.Cleared.IsZero() && !a.Gone.IsZero() {
		say("Not found any more since %s; cleared if that stays so.", stamp(a.Gone, zone))
	}
	if told := a.Told; told != nil {
		switch {
		case told.Severity != a.Severity && told.Severity != "":
			say("You were told of it on %s as %s: %s", stamp(told.At, zone), word(told.Severity), line(told.Sentence, longestSentence))
		case told.Sentence != a.Sentence:
			say("You were told of it on %s: %s", stamp(told.At, zone), line(told.Sentence, longestSentence))
		default:
			say("You were told of it on %s; nothing has changed since.", stamp(told.At, zone))
		}
	}
	switch k := a.Acknowledged; {
	case k == nil && a.Why == alert.KindEscalation:
		say("Nobody has acknowledged it.")
	case k != nil && a.State() == alert.Raised:
		say("%s acknowledged it on %s as %s: %s", line(k.By, longestName), stamp(k.At, zone), word(k.Severity), line(k.Why, longestSentence))
	case k != nil:
		say("%s acknowledged it on %s: %s", line(k.By, longestName), stamp(k.At, zone), line(k.Why, longestSentence))
	}
	return out
}

func word(severity string) string { return line(severity, longestName) }

func stamp(t time.Time, zone *time.Location) string { return t.In(zone).Format("2006-01-02 15:04 MST") }

// line makes foreign text harmless, in one line of at most so many runes. Blanks
// that are not one, such as no-break ones, become one: a text cannot reach further
// to the right than it says.
func line(s string, most int) string {
	s = show.Text(strings.TrimSpace(s))
	s = strings.Join(strings.Fields(s), " ")
	n := 0
	for i := range s {
		if n++; n > most {
			return strings.TrimSpace(s[:i]) + " …"
		}
	}
	return s
}
