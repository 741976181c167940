package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/drift"
)

// daysPerYear turns a slope a day into one a year for people, which is a figure of a size they know.
const daysPerYear = 12 * rules.DaysPerMonth

func (d *deviceDrift) answer() answer {
	a := answer{JSON: d.json(), CSV: d.csv(), Table: d.table(), Page: d.page()}
	a.Above = []string{fmt.Sprintf("%s, %s: drift since the last adjustment, at the level %s, looking %s ahead",
		d.id, d.at.In(zoneOf(d.set)).Format("2006-01-02 15:04 MST"), percent(d.o.level.value), d.o.horizon.value)}
	if len(d.trends) == 0 {
		a.Table = table.Table{}
		a.Above = append(a.Above, "no line: it has no check that is evidence")
	}
	a.Below = d.meaning()
	return a
}

// table has a row for each series of checks.
func (d *deviceDrift) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "series", Wrap: true},
		{Title: "points", Align: table.Right},
		{Title: "slope", Unit: "µm/a", Align: table.Decimal},
		{Title: "from", Unit: "µm/a", Align: table.Decimal},
		{Title: "to", Unit: "µm/a", Align: table.Decimal},
		{Title: "Theil-Sen", Unit: "µm/a", Align: table.Decimal, Optional: 1},
		{Title: "limit", Unit: "µm", Align: table.Decimal},
		{Title: "meets it on", Wrap: true},
	}}
	for i := range d.trends {
		s := &d.trends[i]
		slope, from, to, robust := slopeCells(&s.Course)
		size := "±" + show.Fixed(s.LimitUM(), 1)
		if s.Quantity.OneSided() {
			size = show.Fixed(s.LimitUM(), 1)
		}
		t.Add(table.Text(trendName(s)), table.Count(s.Present().Last-s.Present().First+1), slope, from, to, robust, table.Number(size, s.LimitUM()), outcomeCell(&s.Course))
	}
	return t
}

// csv has the series' names apart, and the outcome by its name in JSON.
func (d *deviceDrift) csv() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "procedure"},
		{Title: "artifact"},
		{Title: "feature"},
		{Title: "points"},
		{Title: "since"},
		{Title: "slope um per year"},
		{Title: "lower um per year"},
		{Title: "upper um per year"},
		{Title: "theil sen um per year"},
		{Title: "mpe", Unit: "µm"},
		{Title: "outcome"},
		{Title: "meets limit on"},
	}}
	for i := range d.trends {
		s := &d.trends[i]
		slope, from, to, robust := slopeCells(&s.Course)
		t.Add(table.Text(s.Procedure), table.Text(s.Artifact), table.Text(s.Feature), table.Count(s.Present().Last-s.Present().First+1),
			table.Text(s.Checks[s.Present().First].Time.In(zoneOf(d.set)).Format("2006-01-02")), slope, from, to, robust,
			table.Number("", s.LimitUM()), table.Text(string(s.Forecast.Outcome)), table.Text(dateText(s.MeetsOn)))
	}
	return t
}

// slopeCells are the slope of the present segment, its interval and the robust slope.
func slopeCells(c *rules.Course) (slope, from, to, robust table.Cell) {
	slope, from, to, robust = table.None(), table.None(), table.None(), table.None()
	if line := c.Present().Line; line != nil {
		slope, from, to = perYear(&line.Slope), perYear(c.Slope.Lower.Value), perYear(c.Slope.Upper.Value)
	}
	if c.Robust != nil {
		robust = perYear(&c.Robust.Slope)
	}
	return slope, from, to, robust
}

// perYear shows a slope for people and programs alike in µm a year.
func perYear(perDayUM *float64) table.Cell {
	if perDayUM == nil {
		return table.None()
	}
	v := *perDayUM * daysPerYear
	return table.Number(show.Signed(v, 1), v)
}

func outcomeCell(c *rules.Course) table.Cell {
	switch c.Forecast.Outcome {
	case drift.MeetsLimit:
		return table.Word(c.MeetsOn.String(), table.Doubtful)
	case drift.BeyondAlready:
		return table.Word("today already", table.Bad)
	case drift.NotWithinHorizon:
		return table.Text("not in sight")
	case drift.NoTrend:
		return table.Text("no drift shown")
	case drift.NoScatter, drift.NoLine:
	}
	return table.Text("not known")
}

// forecastWords says what a forecast is, and how it came about.
func forecastWords(c *rules.Course) string {
	switch f := c.Forecast; f.Outcome {
	case drift.MeetsLimit:
		text := fmt.Sprintf("the prediction band of %d points meets %s µm on %s", c.Present().Line.N, show.Signed(*f.LimitUM.Value, 1), c.MeetsOn)
		if c.FittedOn.IsZero() {
			return text + ", the line itself not within the horizon"
		}
		return fmt.Sprintf("%s, the line itself on %s", text, c.FittedOn)
	case drift.NotWithinHorizon:
		if f.LimitUM.Value == nil {
			return f.Reason
		}
		return fmt.Sprintf("a drift is shown, and the prediction band stays inside %s µm within the horizon", show.Signed(*f.LimitUM.Value, 1))
	case drift.NoTrend:
		return fmt.Sprintf("no drift is shown: the slope's interval, %s to %s µm/a, includes 0",
			show.Signed(*c.Slope.Lower.Value*daysPerYear, 1), show.Signed(*c.Slope.Upper.Value*daysPerYear, 1))
	case drift.BeyondAlready, drift.NoScatter, drift.NoLine:
		return f.Reason
	}
	return c.Forecast.Reason
}

// meaning says in sentences what the lines come to.
func (d *deviceDrift) meaning() (out []string) {
	for i := range d.trends {
		if t := &d.trends[i]; t.Current || t.Forecast.Outcome == drift.NoLine {
			out = append(out, fmt.Sprintf("%s: %s.", trendName(t), forecastWords(&t.Course)))
		}
	}
	if len(d.causes.Slopes) > 0 {
		if len(d.causes.Findings) == 0 {
			out = append(out, d.nothingFound())
		}
		for _, f := range d.causes.Findings {
			out = append(out, causeWords(f))
		}
	}
	return out
}

// nothingFound says how many series were compared without a drift that would have to be put down to something.
func (d *deviceDrift) nothingFound() string {
	mute := 0
	for _, s := range d.causes.Slopes[:len(d.causes.Witnesses)] {
		if s.Lower.Value == nil {
			mute++
		}
	}
	text := fmt.Sprintf("Artifacts compared by %s: no drift has to be put down to one of them or to the device.", counted(len(d.causes.Witnesses), "line"))
	if mute > 0 {
		text += fmt.Sprintf(" %d of them cannot be used: too few points, no scatter, or points that depend on each other.", mute)
	}
	return text
}

func causeWords(f drift.Finding) string {
	points := map[drift.Cause]string{
		drift.DeviceDrift: "This points to the device", drift.ArtifactDrift: "This points to the artifact " + f.Artifact,
		drift.SphereSurface: "This points to the surface of the spheres of " + f.Artifact + ": wear, dirt or coating", drift.Undecided: "This does not tell the device from the artifact " + f.Artifact,
	}
	return fmt.Sprintf("%s: %s.", points[f.Cause], f.Sentence)
}

// page tells of segments, of what speaks against the lines, and of the certificates.
func (d *deviceDrift) page() *page {
	p := &page{}
	zone := zoneOf(d.set)
	headed := false
	for i := range d.trends {
		t := &d.trends[i]
		var notes []string
		for n, s := range t.Segments[:len(t.Segments)-1] {
			slope := "no line: " + s.Reason
			if s.Line != nil {
				slope = show.Signed(s.Line.Slope*daysPerYear, 1) + " µm/a"
			}
			notes = append(notes, fmt.Sprintf("%s from %s to %s, before the adjustment of %s: %s", counted(s.Last-s.First+1, "point"),
				t.Checks[s.First].Time.In(zone).Format("2006-01-02"), t.Checks[s.Last].Time.In(zone).Format("2006-01-02"), t.Adjusted[n].Time.In(zone).Format("2006-01-02"), slope))
		}
		if t.LimitVaries() {
			notes = append(notes, fmt.Sprintf("the limit was not the same for all checks; that of the last one is taken, ±%s µm", show.Fixed(t.LimitUM(), 1)))
		}
		for _, s := range t.Recertified {
			notes = append(notes, "the artifact was calibrated anew within the line: "+stepWords(s))
		}
		if line := t.Present().Line; line != nil && line.Residual.Reservation != "" {
			notes = append(notes, line.Residual.Reservation)
		}
		if !t.Current {
			notes = append(notes, "this series is history: it was left behind")
		}
		if len(notes) == 0 {
			continue
		}
		if !headed {
			p.head("To the lines")
			headed = true
		}
		p.item("%s", trendName(t))
		for _, n := range notes {
			p.sub("%s", n)
		}
	}
	d.certificates(p)
	return p
}

func (d *deviceDrift) certificates(p *page) {
	if len(d.errors) == 0 {
		return
	}
	p.head("From certificate to certificate, as left to the next as found")
	for i := range d.errors {
		t := &d.errors[i]
		name := fmt.Sprintf("%s at %s", t.Quantity, t.Length)
		if !t.Path.IsZero() {
			name += fmt.Sprintf(" over a path of %s", t.Path)
		}
		p.item("%s", name)
		for _, s := range t.Steps {
			p.sub("%s", stepWords(s))
		}
		for _, b := range t.Breaks {
			p.sub("%s, %s: no change is drawn: %s", b.To.Number, b.To.Date, b.Why)
		}
		if t.Present().Line != nil {
			p.sub("line: %s", forecastWords(&t.Course))
		}
	}
}

// stepWords says what a step between two certificates is, and whether it is more than the uncertainties explain.
func stepWords(s rules.Step) string {
	text := fmt.Sprintf("%s to %s: %s µm", s.From.Certificate.Date, s.To.Certificate.Date, show.Signed(s.ChangeUM, 2))
	if s.Ratio.Value == nil {
		return text + ", " + s.Ratio.Reason
	}
	verdict := "not more than the uncertainties explain"
	if *s.Ratio.Value > 1 {
		verdict = "more than the uncertainties explain"
	}
	return fmt.Sprintf("%s, U of the change %s µm, ratio %s: %s", text, show.Fixed(*s.ExpandedUM.Value, 2), show.Ratio(*s.Ratio.Value), verdict)
}
