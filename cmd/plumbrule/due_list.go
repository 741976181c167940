package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// dueListJSON is the JSON of the due list: an interface, to which fields are only added.
type dueListJSON struct {
	At     string       `json:"at"`
	Commit *string      `json:"commit"`
	Within string       `json:"within"`
	Due    []dueRowJSON `json:"due"`
}

type dueRowJSON struct {
	Subject  string       `json:"subject"`
	Kind     string       `json:"kind"` // "device" or "artifact"
	Location string       `json:"location"`
	DaysLeft *int         `json:"days_left"`
	Sources  []sourceJSON `json:"sources"`
	dueJSON
}

// dueRow is one line of the due list.
type dueRow struct {
	subject, kind, place string
	due                  rules.Due
	days                 int // until the due date; negative: overdue by so many
}

// dueList prints what falls due in the repository within an interval from the instant; overdue and missing things are
// always in it.
func (e env) dueList(cmd *cobra.Command, flags instantFlags, within quantity.Interval, strict bool) error {
	j, err := e.judge(cmd.Context(), flags)
	if err != nil {
		return err
	}
	rows := j.dueRows(within)
	if err := e.print(formatOf(cmd), j.dueAnswer(rows, within)); err != nil {
		return err
	}
	if err := j.invalid(); err != nil {
		return err
	}
	return attention(strict, slices.ContainsFunc(rows, func(r dueRow) bool { return r.due.State != rules.Ahead }))
}

func (j *judged) dueRows(within quantity.Interval) []dueRow {
	today := j.assessment.Today
	last := today.Add(within)
	var rows []dueRow
	add := func(row dueRow) {
		switch row.due.State {
		case rules.NotRequired, rules.Stopped, "":
			return
		case rules.Missing, rules.Overdue, rules.DueNow, rules.Soon, rules.Ahead:
		}
		if !row.due.Date.After(last) {
			row.days = today.DaysUntil(row.due.Date)
			rows = append(rows, row)
		}
	}
	for i := range j.assessment.Devices {
		d := &j.assessment.Devices[i]
		if d.Service.State == rules.Retired {
			continue
		}
		for _, due := range append([]rules.Due{d.Calibration}, d.Checks...) {
			add(dueRow{subject: d.ID, kind: "device", place: d.Service.Location, due: due})
		}
	}
	for _, a := range j.assessment.Artifacts {
		if a.Service != rules.Retired {
			add(dueRow{subject: a.ID, kind: "artifact", due: a.Calibration})
		}
	}
	slices.SortStableFunc(rows, func(a, b dueRow) int { return a.due.Date.Compare(b.due.Date) })
	return rows
}

func (j *judged) dueAnswer(rows []dueRow, within quantity.Interval) answer {
	t := table.Table{Columns: []table.Column{
		{Title: "due"}, {Title: "days", Align: table.Right}, {Title: "subject"}, {Title: "what"}, {Title: "state"}, {Title: "place", Optional: 1, Wrap: true},
	}}
	out := dueListJSON{At: j.at.Format("2006-01-02T15:04:05Z07:00"), Commit: commitOrNull(j.commit), Within: within.String(), Due: []dueRowJSON{}}
	for _, r := range rows {
		days, daysLeft := table.Count(r.days), &r.days
		if r.due.State == rules.Missing {
			days, daysLeft = table.None(), nil
		}
		t.Add(table.Text(dateText(r.due.Date)), days, table.Text(r.subject), table.Text(r.due.What), stateCell(r.due), table.Text(r.place))
		out.Due = append(out.Due, dueRowJSON{r.subject, r.kind, r.place, daysLeft, sourcesJSON(r.due.Sources), dueJSONOf(r.due)})
	}
	a := answer{JSON: out, CSV: t, Table: t}
	if len(rows) == 0 {
		a.Table = table.Table{}
		a.Above = []string{fmt.Sprintf("nothing falls due from %s to %s", j.assessment.Today, j.assessment.Today.Add(within))}
	}
	return a
}

func stateCell(d rules.Due) table.Cell {
	words := []string{string(d.State)}
	tone := table.Neutral
	switch d.State {
	case rules.Overdue, rules.Missing:
		tone = table.Bad
	case rules.Soon, rules.DueNow:
		tone = table.Doubtful
	case rules.NotRequired, rules.Ahead, rules.Stopped:
	}
	if d.State == rules.Missing {
		words = []string{"never done"}
	}
	if d.Extra {
		words = []string{"extra check, now"}
	}
	if d.Extension != nil {
		words = append(words, "extended")
	}
	return table.Word(strings.Join(words, ", "), tone)
}

// withinTime reads the flag --within: a time such as "30 days", or 30d.
func withinTime(text string) (quantity.Interval, error) {
	short := strings.TrimSpace(text)
	for suffix, word := range map[string]string{"d": " days", "w": " weeks", "m": " months"} {
		if head, ok := strings.CutSuffix(short, suffix); ok && head != "" && strings.Trim(head, "0123456789") == "" {
			return quantity.ParseInterval(head + word)
		}
	}
	return quantity.ParseInterval(text)
}
