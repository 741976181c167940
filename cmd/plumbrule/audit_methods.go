package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
)

// ruleSection lists the decision rules in force.
func (a *audited) ruleSection() pack.Section {
	s := pack.Section{ID: "rules", Title: "Decision rules", Lead: []string{
		fmt.Sprintf("The site's rule is %s; a procedure may name another. ISO/IEC 17025:2017, 7.1.3 and 7.8.6.", orElse(a.set.Site.Decision.Rule, "not stated, so the program's default")),
	}}
	t := table.Table{Columns: []table.Column{{Title: "procedure"}, {Title: "title"}, {Title: "revision"}, {Title: "rule"}, {Title: "agreed"}, {Title: "record"}}}
	used := map[string]bool{}
	for id := range a.about {
		for _, k := range a.set.Checks[id] {
			used[k.Procedure] = true
		}
	}
	for _, id := range sortedNames(a.set.Procedures) {
		p := a.set.Procedures[id]
		if !a.all && !used[id] {
			continue
		}
		agreed := "not stated"
		if !p.Agreed.IsZero() {
			agreed = p.Agreed.String()
		}
		t.Add(table.Text(id), table.Text(p.Title), table.Text(orElse(p.Revision, "none stated")), table.Text(orElse(p.DecisionRule, "the site's")), table.Text(agreed), table.Text(p.File))
	}
	s.Table = &pack.Table{Name: "rules", Table: t, Widths: []int{15, 29, 10, 16, 11, 19}, None: "There is no procedure in the records."}
	return s
}

// uncertainties lists the budgets behind the last verdict on each feature.
func (a *audited) uncertainties() pack.Section {
	verdicts := table.Table{Columns: []table.Column{
		{Title: "device"},
		{Title: "by"},
		{Title: "feature"},
		{Title: "on"},
		{Title: "error", Unit: "µm", Align: table.Right},
		{Title: "MPE", Unit: "µm", Align: table.Right},
		{Title: "U", Unit: "µm", Align: table.Right},
		{Title: "k", Align: table.Right},
		{Title: "MPE/U", Align: table.Right},
		{Title: "rule"},
		{Title: "verdict"},
	}}
	parts := table.Table{Columns: []table.Column{
		{Title: "device"}, {Title: "by"}, {Title: "feature"}, {Title: "component"}, {Title: "contribution", Unit: "µm", Align: table.Right}, {Title: "part of variance", Unit: "%", Align: table.Right}, {Title: "rests on"},
	}}
	for _, d := range a.devices {
		for i := range d.Evidence {
			a.verdict(&verdicts, &parts, d, &d.Evidence[i])
		}
	}
	budgets, grounds := a.budgets()
	return pack.Section{
		ID: "uncertainty", Title: "Verdicts and their uncertainty", Apart: true,
		Lead:  []string{"The last verdict on each feature and the uncertainty it was decided with; JCGM 100:2008, clause 5 and annex G; ISO 14253-5:2015, from memory. What is tested, the device's own repeatability, stays out of the test's uncertainty unless its procedure says otherwise."},
		Table: &pack.Table{Name: "verdicts", Table: verdicts, Widths: []int{10, 14, 16, 10, 8, 7, 6, 5, 6, 10, 8}, None: "No check or calibration is evidence."},
		Parts: []pack.Section{
			{ID: "budgets", Title: "Budgets in use", Lead: []string{"Each contribution is a standard uncertainty, with its part of the variance."}, Table: &pack.Table{
				Name: "budgets", Table: budgets, Whole: &parts, Widths: []int{11, 16, 11, 62}, None: "No check is evidence, so no budget is in use.",
			}},
			{ID: "grounds", Title: "What the contributions rest on", Table: &pack.Table{Table: grounds, Widths: []int{28, 46, 26}, None: "No check is evidence, so no budget is in use."}},
		},
	}
}

// budgets are the budgets in use, a line each, and what their contributions rest on, once for all that rest on the same.
func (a *audited) budgets() (budgets, grounds table.Table) {
	budgets.Columns = []table.Column{{Title: "device"}, {Title: "by"}, {Title: "feature"}, {Title: "contributions"}}
	grounds.Columns = []table.Column{{Title: "contribution"}, {Title: "rests on"}, {Title: "in checks by"}}
	type ground struct{ name, source string }
	by := map[ground][]string{}
	var order []ground
	for _, d := range a.devices {
		for i := range d.Evidence {
			e := &d.Evidence[i]
			if e.Judgement == nil {
				continue
			}
			var words []string
			for n, c := range e.Judgement.Components {
				text := fmt.Sprintf("%s %s µm", c.Name, show.Fixed(c.ContributionUM(), 2))
				if n < len(e.Judgement.Uncertainty.Shares) {
					text += fmt.Sprintf(" (%s %%)", show.Fixed(e.Judgement.Uncertainty.Shares[n]*100, 0))
				}
				words = append(words, text)
				g := ground{c.Name, c.Source}
				if by[g] == nil {
					order = append(order, g)
				}
				if !slices.Contains(by[g], e.From) {
					by[g] = append(by[g], e.From)
				}
			}
			budgets.Add(table.Text(d.ID), table.Text(e.From), table.Text(e.Feature), table.Text(strings.Join(words, ", ")))
		}
	}
	for _, g := range order {
		grounds.Add(table.Text(g.name), table.Text(g.source), table.Text(strings.Join(by[g], ", ")))
	}
	return budgets, grounds
}

func (a *audited) verdict(verdicts, parts *table.Table, d *rules.Device, e *rules.Evidence) {
	figure := func(v *float64, digits int) table.Cell {
		if v == nil {
			return table.None()
		}
		return table.Number(show.Fixed(*v, digits), *v)
	}
	k := table.None()
	if e.Certified != nil {
		if _, v, stated := e.Certified.Uncertainty.Expanded(); stated {
			k = table.Number(show.Fixed(v, 2), v)
		}
	}
	if e.Judgement != nil {
		k = table.Number(show.Fixed(e.Judgement.Uncertainty.CoverageFactor, 2), e.Judgement.Uncertainty.CoverageFactor)
	}
	digits := 1
	if u := e.Decision.ExpandedUM.Value; u != nil {
		digits = show.Decimals(*u)
	}
	verdicts.Add(table.Text(d.ID), table.Text(e.From), table.Text(fmt.Sprintf("%s %s", e.Quantity, e.Feature)), table.Text(a.day(e.Time)),
		table.Number(show.Signed(e.Decision.ErrorUM, digits), e.Decision.ErrorUM), table.Number(show.Fixed(e.Decision.MPEUM, digits), e.Decision.MPEUM), figure(e.Decision.ExpandedUM.Value, digits), k,
		figure(e.Decision.Ratio.Value, 1), table.Text(string(e.Decision.Rule)), verdictWord(string(e.Decision.Verdict)))
	if e.Judgement == nil {
		return
	}
	for i, c := range e.Judgement.Components {
		share := table.None()
		if i < len(e.Judgement.Uncertainty.Shares) {
			v := e.Judgement.Uncertainty.Shares[i] * 100
			share = table.Number(show.Fixed(v, 0), v)
		}
		parts.Add(table.Text(d.ID), table.Text(e.From), table.Text(e.Feature), table.Text(c.Name), table.Number(show.Fixed(c.ContributionUM(), 2), c.ContributionUM()), share, table.Text(c.Source))
	}
}

// intervals says how the calibration intervals are justified; by lines of drift too, where these are not too many checks.
func (a *audited) intervals(drift bool) pack.Section {
	s := pack.Section{ID: "intervals", Title: "Calibration intervals and their grounds", Apart: true, Lead: []string{
		"What the calibrations found, as found, says of the interval: proposals by the methods of ILAC-G24:2022 / OIML D 10:2022, clause 6. They are proposals; an interval changes when somebody responsible records it. ISO/IEC 17025:2017, 6.4.7.",
	}}
	r := &intervalReview{judged: a.judged, o: intervalFlags(flagsOf(&cobra.Command{})), devices: a.devices, histories: map[string]rules.CalibrationHistory{}}
	if drift {
		r.drift = r.recordedDrift
	} else {
		s.Lead = append(s.Lead, `These are too many checks to draw the drift of each device, so the method of control charts is left out; "plumbrule interval DEVICE" has it.`)
	}
	var ids []string
	for _, d := range a.devices {
		ids = append(ids, d.ID)
	}
	for _, h := range rules.Outcomes(a.set, a.at, a.options, ids...) {
		r.histories[h.Device] = h
	}
	if err := r.review(); err != nil {
		s.Notes = []string{"The intervals cannot be reviewed: " + err.Error()}
		return s
	}
	answer := r.answer()
	s.Table = &pack.Table{Name: "intervals", Table: answer.Table, Widths: []int{18, 17, 12, 12, 11, 30}, None: "No device has a calibration interval to review."}
	s.Notes = append(s.Notes, answer.Below...)
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "when"}, {Title: "of"}, {Title: "what"}, {Title: "reason"}, {Title: "by"}, {Title: "record"}}}
	for _, id := range ids {
		for _, v := range a.set.Events[id] {
			if !a.known(v.Entered) {
				continue
			}
			switch v.Kind {
			case records.IntervalChange:
				t.Add(table.Text(id), table.Text(a.day(v.Time)), table.Text(v.Of), table.Text("interval "+v.Interval.String()), table.Text(v.Reason), table.Text(v.By), table.Text(v.File))
			case records.Extension:
				t.Add(table.Text(id), table.Text(a.day(v.Time)), table.Text(v.Of), table.Text("extended to "+v.Until.String()), table.Text(v.Reason), table.Text(v.By), table.Text(v.File))
			case records.Adjustment, records.Repair, records.Withdrawal, records.ReturnToService, records.Retirement, records.Limitation, records.LimitationLifted,
				records.Doubt, records.FirmwareChange, records.Relocation, records.Handover, records.CertificateRead:
			}
		}
	}
	s.Parts = []pack.Section{{ID: "interval-decisions", Title: "Decisions on intervals", Table: &pack.Table{
		Name: "interval-decisions", Table: t, Widths: []int{10, 10, 13, 17, 25, 5, 20}, None: "No interval was changed and no due date put off.",
	}}}
	return s
}
