package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

// noticeWidth is how wide the lines of a draft are.
const noticeWidth = 78

// writeNotices writes the draft of a notice for each customer's reference into a folder that is new or empty, and returns the
// files.
func (e env) writeNotices(folder string, x *impacted) ([]string, error) {
	path := e.path(folder)
	entries, err := os.ReadDir(path)
	switch {
	case err == nil && len(entries) > 0:
		return nil, misused(fmt.Sprintf("--notices: %s is not empty", folder), "name a new folder: drafts that somebody has worked on are not written over")
	case err != nil && !errors.Is(err, os.ErrNotExist):
		return nil, unreadable(fmt.Sprintf("--notices: %s: %s", folder, plainCause(err)), "name a folder that can be written to", err)
	}
	if err := os.MkdirAll(path, 0o755); err != nil { //nolint:gosec // for whoever reads the records too
		return nil, unreadable(fmt.Sprintf("--notices: %s: %s", folder, plainCause(err)), "name a folder that can be written to", err)
	}
	var out []string
	taken := map[string]bool{}
	for _, c := range impact.ByCustomer(x.effects) {
		stem := fileStem(c.Reference)
		name := stem
		for n := 2; taken[name]; n++ {
			name = fmt.Sprintf("%s-%d", stem, n)
		}
		taken[name] = true
		file := filepath.Join(folder, name+".txt")
		err := e.writeOutput(file, func(w io.Writer) error {
			_, err := io.WriteString(w, x.notice(&c))
			return err
		})
		if err != nil {
			return nil, err
		}
		out = append(out, filepath.ToSlash(file))
	}
	return out, nil
}

// fileStem makes a file's name of a customer's reference.
func fileStem(reference string) string {
	stem := strings.Trim(strings.Map(func(r rune) rune {
		if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)) {
			return unicode.ToLower(r)
		}
		return '-'
	}, reference), "-")
	if stem == "" {
		return "no-reference"
	}
	return stem
}

// notice is the draft for one customer: what, when, how much, which reports, what next.
func (x *impacted) notice(c *impact.Customer) string {
	var b strings.Builder
	say := func(format string, args ...any) {
		b.WriteString(show.Paragraph(show.Text(fmt.Sprintf(format, args...)), noticeWidth, 0) + "\n")
	}
	item := func(format string, args ...any) {
		b.WriteString(show.Paragraph("- "+show.Text(fmt.Sprintf(format, args...)), noticeWidth, 2))
	}
	say("DRAFT for the responsible person. Nothing has been sent. Check every figure, and follow the laboratory's own procedure for notices, local codes and licensed practice.")
	to := c.Reference
	if to == "" {
		to = "(the jobs state no customer's reference)"
	}
	say("To: %s", to)
	say("From: %s", x.set.Site.Name)
	say("About: measurements that may have been affected by an error of our measuring equipment")

	say("What was found")
	for _, d := range doubtsOf(c) {
		item("%s", x.foundWords(d))
	}
	b.WriteByte('\n')
	say("Which of your reports are concerned, and by how much")
	for _, e := range c.Effects {
		for n := range e.Lines {
			item("%s", noticeLine(e, &e.Lines[n]))
		}
	}
	b.WriteByte('\n')
	say("The figures bring the error that was found to the length of your measurement; \"at most\" holds its expanded uncertainty as well. " +
		"They are no statement that your parts are outside their tolerance, and none that they are inside.")
	say("What we do next")
	for _, e := range c.Effects {
		if s := x.decision(e); s != nil {
			item("%s: %s. %s", e.Job.ID, s.Decision, s.Reason)
		} else {
			item("%s: [not decided yet: no effect, re-measure, inform or recall]", e.Job.ID)
		}
	}
	b.WriteByte('\n')
	say("What we ask of you")
	item("[hold the parts, return them, send us your own measurements, or nothing]")
	b.WriteByte('\n')
	say("Answers to: [name, telephone, mail]")
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// doubtsOf lists the windows a customer's jobs lie in, each once.
func doubtsOf(c *impact.Customer) []*rules.Doubt {
	var out []*rules.Doubt
	seen := map[*rules.Doubt]bool{}
	for _, e := range c.Effects {
		for n := range e.Lines {
			if d := e.Lines[n].Doubt; !seen[d] {
				seen[d] = true
				out = append(out, d)
			}
		}
	}
	return out
}

// foundWords says for a customer what was found, and from when to when results are in doubt.
func (x *impacted) foundWords(d *rules.Doubt) string {
	device := d.Device
	if r := x.set.Devices[d.Device]; r != nil {
		device = fmt.Sprintf("%s (%s, serial number %s)", d.Device, r.Kind, r.Serial)
	}
	zone := zoneOf(x.set)
	out := fmt.Sprintf("%s, %s: ", device, d.Limit.Quantity)
	if len(d.Findings) == 0 {
		out += d.Why
	} else {
		out += fmt.Sprintf("on %s %s", d.Found.In(zone).Format("2006-01-02"), findingWords(&d.Findings[0]))
	}
	return out + fmt.Sprintf(". Results are in doubt %s %s", strings.TrimSuffix(d.SinceWords, ","), d.UntilWords)
}

// noticeLine says for a customer what the error can have meant for one thing measured.
func noticeLine(e *impact.Effect, l *impact.Line) string {
	out := fmt.Sprintf("%s, %s, measured %s", e.Job.ID, e.Job.Title, e.Job.Begin)
	if e.Job.End != e.Job.Begin {
		out += fmt.Sprintf(" to %s", e.Job.End)
	}
	out += fmt.Sprintf(": %s up to %s, tolerance %s: ", l.Measured.Quantity, l.Measured.Length, l.Measured.Tolerance)
	if l.Most.Value == nil {
		return out + "no bound can be given, because " + l.Most.Reason
	}
	return out + fmt.Sprintf("error %s µm, at most %s µm, which is %s %% of half the tolerance", show.Signed(*l.ErrorUM.Value, 1),
		show.Fixed(abs(*l.ErrorUM.Value)+*l.ExpandedUM.Value, 1), show.Fixed(*l.Most.Value*100, 0))
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
