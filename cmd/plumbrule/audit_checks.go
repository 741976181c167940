package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// checkSection lists every reading of a device's checks in the period with its verdict: the pack of one device has room for it.
func (a *audited) checkSection(d *rules.Device) pack.Section {
	columns := []table.Column{
		{Title: "check"},
		{Title: "by"},
		{Title: "person"},
		{Title: "artifact, feature"},
		{Title: "error", Unit: "µm", Align: table.Right},
		{Title: "MPE", Unit: "µm", Align: table.Right},
		{Title: "U", Unit: "µm", Align: table.Right},
		{Title: "verdict"},
		{Title: "record"},
	}
	last := len(columns) - 1 // the record, whose name on the page would only say the first two again
	t, whole := table.Table{Columns: columns[:last]}, table.Table{Columns: columns}
	for _, k := range a.set.Checks[d.ID] {
		if !a.inPeriod(calendar.Of(k.Time, a.zone)) || !a.known(k.Entered) {
			continue
		}
		for _, f := range a.knowledge.JudgeCheck(d.ID, k.File) {
			cells := []table.Cell{table.Text(k.Time.In(a.zone).Format("2006-01-02 15:04")), table.Text(k.Procedure), table.Text(k.By), table.Text(fmt.Sprintf("%s, %s", k.Artifact, f.Reading.Feature))}
			if f.Judgement == nil {
				cells = append(cells, table.None(), table.None(), table.None(), table.Word("no evidence: "+f.Objection, table.Doubtful))
			} else {
				v := &f.Judgement.Decision
				u, digits := table.None(), 1
				if x := v.ExpandedUM.Value; x != nil {
					digits = show.Decimals(*x)
					u = table.Number(show.Fixed(*x, digits), *x)
				}
				cells = append(cells, table.Number(show.Signed(v.ErrorUM, digits), v.ErrorUM), table.Number(show.Fixed(v.MPEUM, digits), v.MPEUM), u, verdictWord(string(v.Verdict)))
			}
			t.Add(cells...)
			whole.Add(append(cells, table.Text(k.File))...)
		}
	}
	return pack.Section{ID: "checks", Title: "Checks in the period", Apart: true, Lead: []string{
		"Every reading with its verdict, judged by what was known at the instant. ISO/IEC 17025:2017, 6.4.10 and 7.5.1.",
	}, Table: &pack.Table{Name: "checks", Table: t, Whole: &whole, Widths: []int{17, 15, 9, 17, 10, 9, 9, 14}, None: "It was not checked in the period."}}
}
