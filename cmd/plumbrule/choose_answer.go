package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/choose"
	"plumbrule/rules/figure"
)

// chosen is a choice with the records it was made from.
type chosen struct {
	*judged
	choose.Choice
}

func (c *chosen) answer() answer {
	a := answer{JSON: c.json(), CSV: c.csv(), Above: c.above(), Table: c.table(), Page: &page{}}
	for i := range c.Candidates {
		if c.asked(&c.Candidates[i]) {
			c.detail(a.Page, &c.Candidates[i])
		}
	}
	c.others(a.Page)
	return a
}

// asked tells the candidates worth a row: those with a limit for all that is needed.
func (c *chosen) asked(x *choose.Candidate) bool { return x.Share.Value != nil }

// above says what is to be held, and who does.
func (c *chosen) above() []string {
	var out []string
	job := &c.Job
	days := "on " + job.Begin.String()
	if job.End != job.Begin {
		days = fmt.Sprintf("from %s to %s", job.Begin, job.End)
	}
	for i := range job.Needs {
		n := &job.Needs[i]
		text := fmt.Sprintf("%s up to %s", n.Quantity, n.Length)
		if !n.Path.IsZero() {
			text += fmt.Sprintf(", path up to %s", n.Path)
		}
		text += fmt.Sprintf(": tolerance %s, ±%s µm about its middle; a bound may be %s µm", n.Tolerance, show.Shortest(n.HalfUM()), show.Fixed(n.HalfUM()/c.Ratio, 1))
		out = append(out, text)
	}
	suitable, conditional := 0, 0
	for i := range c.Candidates {
		switch c.Candidates[i].Standing {
		case choose.Suitable:
			suitable++
		case choose.Conditional:
			conditional++
		case choose.Unsuitable:
		}
	}
	verdict := fmt.Sprintf("%s suitable", counted(suitable, "device"))
	if suitable == 0 {
		verdict = "no device is suitable as it is"
	}
	if conditional > 0 {
		verdict += fmt.Sprintf(", %d would be after the steps below", conditional)
	} else if suitable == 0 {
		verdict += ", and no step known here would make one so"
	}
	name := ""
	if job.ID != "" {
		name = job.ID + ", "
	}
	return append([]string{name + days + ": " + verdict}, out...)
}

func (c *chosen) table() table.Table {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "standing"}}}
	several := len(c.Job.Needs) > 1
	if several {
		t.Columns = append(t.Columns, table.Column{Title: "quantity"})
	}
	t.Columns = append(t.Columns,
		table.Column{Title: "bound", Unit: "µm", Align: table.Decimal},
		table.Column{Title: "share", Unit: "%", Align: table.Decimal},
		table.Column{Title: "proves", Unit: "±µm", Align: table.Decimal},
		table.Column{Title: "longest", Unit: "m", Align: table.Decimal},
		table.Column{Title: "checks found", Unit: "µm"},
		table.Column{Title: "last day", Optional: 1},
	)
	for i := range c.Candidates {
		x := &c.Candidates[i]
		if !c.asked(x) {
			continue
		}
		for n := range x.Answers {
			a := &x.Answers[n]
			name, standing, last := table.Text(x.Device.ID), standingWord(x.Standing), table.Text(dateText(x.LastDay))
			if n > 0 {
				name, standing, last = table.Text(""), table.Text(""), table.Text("")
			}
			row := []table.Cell{name, standing}
			if several {
				row = append(row, table.Text(string(c.Job.Needs[n].Quantity)))
			}
			t.Add(append(row, fixedCell(a.BoundUM, 1, 1), fixedCell(a.Share, 100, 0), fixedCell(a.AcceptUM, 1, 1), longestCell(a), observedCell(&a.Observed), last)...)
		}
	}
	if len(t.Rows) == 0 {
		return table.Table{}
	}
	return t
}

func standingWord(s choose.Standing) table.Cell {
	switch s {
	case choose.Suitable:
		return table.Word(string(s), table.Good)
	case choose.Conditional:
		return table.Word(string(s), table.Doubtful)
	case choose.Unsuitable:
	}
	return table.Word(string(s), table.Bad)
}

func fixedCell(f figure.Figure, times float64, decimals int) table.Cell {
	if f.Value == nil {
		return table.None()
	}
	return table.Number(show.Fixed(*f.Value*times, decimals), *f.Value)
}

// longestCell prints how long the path or length may be; a limit that does not grow has no longest one.
func longestCell(a *choose.Answer) table.Cell {
	if a.Limit != nil && !a.Limit.MPE.GrowsWithLength() {
		return table.Text("any")
	}
	return fixedCell(a.LongestM, 1, 3)
}

func observedCell(o *choose.Observed) table.Cell {
	if o.LowerUM.Value == nil {
		return table.None()
	}
	return table.Text(fmt.Sprintf("%s to %s", show.Signed(*o.LowerUM.Value, 1), show.Signed(*o.UpperUM.Value, 1)))
}

// detail explains one candidate.
func (c *chosen) detail(p *page, x *choose.Candidate) {
	p.head("%s: %s", x.Device.ID, x.Standing)
	for n := range x.Answers {
		c.bound(p, n, &x.Answers[n])
	}
	for _, o := range x.Obstacles {
		p.item("against it: %s", o.Sentence)
		if o.Step == "" {
			continue
		}
		p.sub("mend: %s", o.Step)
	}
}

// bound says where a bound comes from and what is known beside it.
func (c *chosen) bound(p *page, n int, a *choose.Answer) {
	need := &c.Job.Needs[n]
	length, what := need.Length, "at"
	switch {
	case a.Limit.CountsPath() && a.PathAssumed:
		what = "over the straight line, the shortest path there can be,"
	case a.Limit.CountsPath():
		length, what = need.Path, "over a path of"
	}
	text := fmt.Sprintf("%s: %s %s %s is %s µm", need.Quantity, a.Limit.MPE, what, length, show.Fixed(*a.MPEUM.Value, 1))
	if !a.Limit.MPE.GrowsWithLength() {
		text = fmt.Sprintf("%s: %s at any length", need.Quantity, a.Limit.MPE)
	}
	if a.ThermalUM > 0 {
		text += fmt.Sprintf(", with %s µm for temperature %s µm", show.Fixed(a.ThermalUM, 1), show.Fixed(*a.BoundUM.Value, 1))
	}
	p.item("%s; half the tolerance is %s times that", text, show.Fixed(*a.Ratio.Value, 2))
	if a.AcceptUM.Value == nil {
		p.item("%s", a.AcceptUM.Reason)
	} else {
		p.item("a value measured on the tolerance's edge conforms with probability %s; up to ±%s µm it is proved at 95 %%",
			show.Probability(*a.Probability.Value), show.Fixed(*a.AcceptUM.Value, 1))
	}
	o := &a.Observed
	if o.Outside > 0 {
		p.item("caution: %d of its %s lay outside the limit, the farthest at %s µm", o.Outside, counted(o.Errors, "error"), show.Signed(o.FarthestUM, 1))
	}
	if o.MeanUM.Value == nil {
		p.item("its own checks: no figure, because %s", strings.TrimSuffix(o.MeanUM.Reason, "."))
		return
	}
	brought := ""
	if a.Limit.MPE.GrowsWithLength() {
		brought = ", brought to this length as the limit grows"
	}
	p.item("its own checks: mean error %s µm, a further one from %s µm to %s µm (95 %%), by %s of %s from %s to %s%s",
		show.Signed(*o.MeanUM.Value, 1), show.Signed(*o.LowerUM.Value, 1), show.Signed(*o.UpperUM.Value, 1),
		counted(o.Errors, "error"), counted(o.Checks, "check"), o.From, o.To, brought)
	if beyond := o.Beyond(*a.MPEUM.Value); beyond != "" {
		p.item("caution: %s", beyond)
	}
}

// others names the devices that have no limit for what is needed, and says what the rule rests on.
func (c *chosen) others(p *page) {
	var lines []string
	for i := range c.Candidates {
		x := &c.Candidates[i]
		if c.asked(x) {
			continue
		}
		why := x.Share.Reason
		if len(x.Obstacles) > 0 {
			why = x.Obstacles[0].Sentence
		}
		if n := len(lines); n > 0 && strings.HasSuffix(lines[n-1], ": "+why) {
			lines[n-1] = strings.TrimSuffix(lines[n-1], ": "+why) + ", " + x.Device.ID + ": " + why
			continue
		}
		lines = append(lines, x.Device.ID+": "+why)
	}
	if len(lines) > 0 {
		p.head("not for this:")
		for _, l := range lines {
			p.item("%s", l)
		}
	}
	from := "common practice, no source; the site states no [choose] minimum-ratio"
	if c.RatioSet {
		from = "the site's [choose] minimum-ratio"
	}
	p.head("rule: half the tolerance at least %s times the bound (%s)", show.Shortest(c.Ratio), from)
}
