package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

func (x *impacted) answer() answer {
	p := &page{}
	x.reference(p)
	for i := range x.doubts {
		if len(x.doubts[i].Jobs) > 0 {
			x.window(p, &x.doubts[i])
		}
	}
	x.windowsWithoutJobs(p)
	x.unboundedJobs(p)
	x.casesTold(p)
	x.further(p)
	return answer{JSON: x.json(), CSV: x.csv(), Above: []string{x.headline()}, Table: x.table(), Page: p}
}

// headline says how much is in doubt.
func (x *impacted) headline() string {
	beyond, unbounded, undecided := 0, 0, 0
	for i := range x.effects {
		e := &x.effects[i]
		switch {
		case e.UsedUp():
			beyond++
		case e.Unbounded:
			unbounded++
		}
		if x.decision(e) == nil {
			undecided++
		}
	}
	if len(x.doubts) == 0 {
		return x.subject + ": " + x.nothing()
	}
	out := fmt.Sprintf("%s: %s of doubt, ", x.subject, counted(len(x.doubts), "window"))
	if len(x.effects) == 0 {
		return out + "and no job in any of them"
	}
	out += counted(len(x.effects), "job")
	if beyond > 0 {
		out += fmt.Sprintf("; %d whose tolerance can have been used up", beyond)
	}
	if unbounded > 0 {
		out += fmt.Sprintf("; %d for which no bound can be given", unbounded)
	}
	if undecided > 0 {
		return out + fmt.Sprintf("; nothing decided on %d", undecided)
	}
	return out + "; decided on all"
}

// nothing says why no window was found.
func (x *impacted) nothing() string {
	switch {
	case x.o.quantity.given():
		return fmt.Sprintf("nothing of quantity %s is in doubt", x.o.quantity.value)
	case x.kind == "device":
		return "no record shows it wrong: no error outside a limit, no adjustment without as found, no incident left open"
	case len(x.fallen.Checks) == 0 && x.artifact:
		return "no check rests on it in that time"
	case x.fallen.Instead != nil:
		return "no device is in doubt: judged by the later calibration, every check that failed by it failed before as well, or none did"
	}
	return "no device is in doubt: other good evidence stands after what falls away"
}

func (x *impacted) table() table.Table {
	t := table.Table{Columns: []table.Column{{Title: "job"}, {Title: "end"}}}
	devices := x.kind != "device"
	if devices {
		t.Columns = append(t.Columns, table.Column{Title: "device"})
	}
	t.Columns = append(t.Columns,
		table.Column{Title: "quantity"},
		table.Column{Title: "tolerance"},
		table.Column{Title: "error", Unit: "µm", Align: table.Decimal},
		table.Column{Title: "U", Unit: "µm", Align: table.Decimal},
		table.Column{Title: "share", Unit: "%", Align: table.Decimal},
		table.Column{Title: "at most", Unit: "%", Align: table.Decimal},
		table.Column{Title: "decision"},
	)
	for i := range x.effects {
		e := &x.effects[i]
		for n := range e.Lines {
			l := &e.Lines[n]
			job, until, decision := e.Job.ID, e.Job.End.String(), x.decisionWord(e)
			if n > 0 {
				job, until, decision = "", "", table.Text("")
			}
			row := []table.Cell{table.Text(job), table.Text(until)}
			if devices {
				row = append(row, table.Text(l.Doubt.Device))
			}
			row = append(row, table.Text(string(l.Measured.Quantity)), table.Text(l.Measured.Tolerance.String()), signedCell(l), fixedCell(l.ExpandedUM, 1, 1),
				fixedCell(l.Share, 100, 0), mostCell(l), decision)
			t.Add(row...)
		}
	}
	if len(t.Rows) == 0 {
		return table.Table{}
	}
	return t
}

func signedCell(l *impact.Line) table.Cell {
	if l.ErrorUM.Value == nil {
		return table.None()
	}
	return table.Number(show.Signed(*l.ErrorUM.Value, 1), *l.ErrorUM.Value)
}

// mostCell is the largest share, or a word where there is none: an empty cell would read as nothing.
func mostCell(l *impact.Line) table.Cell {
	if l.Most.Value == nil {
		return table.Word("no bound", table.Bad)
	}
	return fixedCell(l.Most, 100, 0)
}

func (x *impacted) decisionWord(e *impact.Effect) table.Cell {
	s := x.decision(e)
	if s == nil {
		return table.Word("none yet", table.Doubtful)
	}
	tone := table.Good
	if s.Decision != records.NoEffect {
		tone = table.Doubtful
	}
	return table.Word(string(s.Decision), tone)
}

// reference says which checks fall away or are judged anew.
func (x *impacted) reference(p *page) {
	if x.fallen == nil {
		return
	}
	f := x.fallen
	head := fmt.Sprintf("%s %s: taken to be wrong", x.kind, x.subject)
	if f.SinceWords != "" {
		head += " " + f.SinceWords + ", " + f.UntilWords
	}
	p.head("%s", head)
	if f.Instead != nil {
		p.item("%s, judged anew by certificate %s, as if its values had held all the time", counted(len(f.Checks), "check"), f.Instead.Number)
	} else if len(f.Checks) > 0 {
		p.item("%s no longer evidence", isOrAre(len(f.Checks), "check"))
	}
	x.checkList(p, f.Checks)
}

func isOrAre(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " is"
	}
	return counted(n, noun) + " are"
}

// shownChecks is how many checks are named; JSON has all.
const shownChecks = 8

func (x *impacted) checkList(p *page, list []*records.Check) {
	for i, k := range list {
		if i == shownChecks {
			p.sub("and %d more; --format json lists them", len(list)-i)
			return
		}
		p.sub("%s", k.File)
	}
}

// window tells of one window: what was found, from when to when, and which checks lie in it.
func (x *impacted) window(p *page, d *rules.Doubt) {
	device := ""
	if x.kind != "device" {
		device = d.Device + ", "
	}
	p.head("%s%s: %s %s", device, rangeOf(d.Limit), strings.TrimSuffix(d.SinceWords, ","), d.UntilWords)
	if d.Good.File != "" {
		p.item("begins with %s", placeText(d.Good))
	}
	if d.Ended.File != "" {
		p.item("ends with %s", placeText(d.Ended))
	}
	for i := range d.Findings {
		p.item("found: %s", findingWords(&d.Findings[i]))
		p.sub("%s", placeText(d.Findings[i].Source))
	}
	if len(d.Findings) == 0 {
		p.item("%s: %s", d.Kind, d.Why)
		p.sub("%s", placeText(d.Cause))
	}
	if len(d.Checks) > 0 {
		p.item("%s of the device inside it", counted(len(d.Checks), "check"))
		if x.kind == "device" { // of a reference they are listed above
			x.checkList(p, d.Checks)
		}
	}
}

// windowsWithoutJobs lists the windows in which no job measured what is in doubt.
func (x *impacted) windowsWithoutJobs(p *page) {
	headed := false
	for i := range x.doubts {
		d := &x.doubts[i]
		if len(d.Jobs) > 0 {
			continue
		}
		if !headed {
			p.head("no job measured that inside these windows")
		}
		headed = true
		what := string(d.Kind)
		if len(d.Findings) > 0 {
			what = findingWords(&d.Findings[0])
		}
		p.item("%s, %s: %s %s: %s", d.Device, rangeOf(d.Limit), strings.TrimSuffix(d.SinceWords, ","), d.UntilWords, what)
		p.sub("%s", placeText(d.Cause))
	}
}

func rangeOf(l *records.Limit) string { return rules.Scope{Quantity: l.Quantity, Limit: l}.String() }

// findingWords says what was found outside its limit.
func findingWords(e *rules.Evidence) string {
	out := fmt.Sprintf("%s %s, error %s µm", e.Quantity, e.Feature, show.Signed(e.Decision.ErrorUM, 1))
	if u := e.Decision.ExpandedUM.Value; u != nil {
		out += fmt.Sprintf(", U %s µm", show.Fixed(*u, 1))
	}
	out += fmt.Sprintf(", limit %s µm", show.Fixed(e.Decision.MPEUM, 1))
	switch {
	case !e.Limit.MPE.GrowsWithLength():
	case e.Judgement != nil && e.Judgement.LengthIsPath:
		out += fmt.Sprintf(" over a path of %s", e.Judgement.Length)
	case e.Judgement != nil:
		out += fmt.Sprintf(" over %s", e.Judgement.Length)
	case e.Limit.CountsPath():
		out += fmt.Sprintf(" over a path of %s", e.Certified.Path)
	}
	return out + " (" + e.From + ")"
}

// unboundedJobs says of each line without a figure why, and where an error is carried on beyond what was measured.
func (x *impacted) unboundedJobs(p *page) {
	var reasons []string
	of := map[string][]string{}
	for i := range x.effects {
		for n := range x.effects[i].Lines {
			l := &x.effects[i].Lines[n]
			if l.Most.Value != nil {
				continue
			}
			if of[l.Most.Reason] == nil {
				reasons = append(reasons, l.Most.Reason)
			}
			if name := fmt.Sprintf("%s %s", x.effects[i].Job.ID, l.Measured.Quantity); !slices.Contains(of[l.Most.Reason], name) {
				of[l.Most.Reason] = append(of[l.Most.Reason], name)
			}
		}
	}
	if len(reasons)+len(x.unread) > 0 {
		p.head("%s", unboundedHead(len(reasons)))
	}
	for _, why := range reasons {
		p.item("%s: %s", strings.Join(of[why], ", "), why)
	}
	for _, u := range x.unread {
		p.item("%s cannot be used, and may change this answer: %s", u.File, u.Message)
	}
	headed := false
	for i := range x.effects {
		for n := range x.effects[i].Lines {
			l := &x.effects[i].Lines[n]
			if !l.Beyond {
				continue
			}
			if !headed {
				p.head("caution: longer than what the error was found at")
			}
			headed = true
			p.item("%s, %s over %.3f m: the error is carried on as the limit grows, and nothing measured it there", x.effects[i].Job.ID, l.Measured.Quantity, l.AtMM/1000)
		}
	}
}

func unboundedHead(reasons int) string {
	if reasons == 0 {
		return "not known"
	}
	return "no bound can be given"
}

// casesTold lists the cases about what was asked for.
func (x *impacted) casesTold(p *page) {
	if len(x.doubts) > 0 && len(x.cases) == 0 {
		p.head("no case is opened about %s: plumbrule record case %s", x.about, x.about)
	}
	for i := range x.cases {
		k := &x.cases[i]
		state := "closed"
		if k.Open {
			state = "open"
		}
		p.head("case %s: %s, with %s", k.ID, state, k.Owner)
		for _, l := range k.Lacks {
			p.item("lacks %s", l)
		}
		for _, id := range k.Jobs {
			if s := k.Decisions[id]; s != nil {
				p.item("%s: %s (%s, %s): %s", id, s.Decision, s.By, s.Time.In(zoneOf(x.set)).Format("2006-01-02"), s.Reason)
			}
		}
	}
}

// further says what shares are, what was written, and whose judgement it is.
func (x *impacted) further(p *page) {
	if len(x.effects) > 0 {
		p.head("share: the error found, brought to the job as the limit grows, over half the tolerance; at most: with its uncertainty")
		p.item("that an error grows as its limit does is supposed, and known of no device")
		p.item("100 %% takes a part from the middle of its zone to the edge. An error that was larger for a time, and gone when the check was made, is not in it")
	}
	if *x.o.notices != "" && len(x.effects) == 0 {
		p.item("no draft was written: no job lies in a window")
	}
	for _, d := range x.drafts {
		p.item("wrote the draft %s", d)
	}
	if len(x.doubts) > 0 {
		p.item("%s", caution)
	}
}

// caution stands under whatever may decide about delivered work.
const caution = "This helps a responsible person to decide and decides nothing. Where measurements protect people, follow the laboratory's own procedure, local codes and licensed practice."
