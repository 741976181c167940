package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/sample"
)

// summaryJSON is what summary prints as JSON: an interface, to which fields are only added. A figure that does not exist is
// null, and reasons says why under its name. An index counts the values from 1.
type summaryJSON struct {
	N        int              `json:"n"`
	Mean     float64          `json:"mean"`
	SD       *float64         `json:"sd"`
	Lag1     *float64         `json:"lag1"`
	Min      float64          `json:"min"`
	Max      float64          `json:"max"`
	MinIndex int              `json:"min_index"`
	MaxIndex int              `json:"max_index"`
	Outlier  *outlierJSON     `json:"outlier"`
	Rosner   []rosnerStepJSON `json:"rosner"`
	Found    *int             `json:"rosner_outliers"`
	Notes    []string         `json:"notes"`
	Reasons  absences         `json:"reasons"`
}

type outlierJSON struct {
	Value     float64  `json:"value"`
	Index     int      `json:"index"`
	Statistic *float64 `json:"statistic"`
	Critical  float64  `json:"critical"`
	Rejected  bool     `json:"rejected"`
	Alpha     float64  `json:"alpha"`
	Side      string   `json:"side"`
}

type rosnerStepJSON struct {
	Step      int      `json:"step"`
	Value     float64  `json:"value"`
	Index     int      `json:"index"`
	Statistic *float64 `json:"statistic"`
	Critical  float64  `json:"critical"`
	Outlier   bool     `json:"outlier"`
}

func (s summarised) json() summaryJSON {
	reasons := absences{}
	out := summaryJSON{
		N: s.N, Mean: s.Mean, SD: reasons.value("sd", s.SD), Lag1: reasons.value("lag1", s.Autocorrelation), Min: s.Smallest.Value, Max: s.Largest.Value,
		MinIndex: s.Smallest.Index + 1, MaxIndex: s.Largest.Index + 1, Rosner: []rosnerStepJSON{}, Notes: notNull(s.notes()), Reasons: reasons,
	}
	if t := s.suspect; t != nil {
		out.Outlier = &outlierJSON{t.Suspect.Value, t.Suspect.Index + 1, reasons.value("outlier.statistic", t.Statistic), t.Critical, t.Outlier, s.alpha, string(s.side)}
	} else {
		reasons["outlier"] = s.whyNone
	}
	if s.search == nil {
		reasons["rosner_outliers"] = "not asked for"
		return out
	}
	found := len(s.search.Outliers)
	out.Found = &found
	for i, t := range s.search.Steps {
		out.Rosner = append(out.Rosner, rosnerStepJSON{i + 1, t.Suspect.Value, t.Suspect.Index + 1, reasons.value(fmt.Sprintf("rosner[%d].statistic", i), t.Statistic), t.Critical, i < found})
	}
	return out
}

// notes are the reservations of the tests.
func (s summarised) notes() (list []string) {
	const fewForGrubbs = 7 // e-Handbook 1.3.5.17.1
	if s.suspect != nil && s.N < fewForGrubbs {
		list = append(list, fmt.Sprintf("With %d values the test for one outlier flags good ones more often than it finds bad ones.", s.N))
	}
	if s.search != nil && s.search.Reservation != "" {
		list = append(list, s.search.Reservation)
	}
	return list
}

func (s summarised) answer() answer {
	t := table.Table{Columns: []table.Column{{Title: "figure"}, {Title: "value", Align: table.Decimal}, {Title: "index", Align: table.Right}, {Title: "statistic", Align: table.Decimal}, {Title: "critical", Align: table.Decimal}}}
	blank := table.Text("")
	row := func(name string, value table.Cell, index int) {
		at := blank
		if index > 0 {
			at = table.Count(index)
		}
		t.Add(table.Text(name), value, at, blank, blank)
	}
	row("n", table.Count(s.N), 0)
	row("mean", table.Number(besideSpread(s.Mean, s.SD.Value), s.Mean), 0)
	row("standard deviation", figureCell(s.SD), 0)
	row("lag-1 autocorrelation", figureCell(s.Autocorrelation), 0)
	row("smallest", asTyped(s.Smallest.Value), s.Smallest.Index+1)
	row("largest", asTyped(s.Largest.Value), s.Largest.Index+1)
	test := func(name string, o sample.OutlierTest) {
		t.Add(table.Text(name), asTyped(o.Suspect.Value), table.Count(o.Suspect.Index+1), figureCell(o.Statistic), table.Number(fourDigits(o.Critical), o.Critical))
	}
	if s.suspect != nil {
		test("suspect ("+s.sideWords()+")", *s.suspect)
	}
	if s.search != nil {
		for i, o := range s.search.Steps {
			test(fmt.Sprintf("suspect %d of several", i+1), o)
		}
	}
	a := answer{JSON: s.json(), CSV: t, Table: t, Above: []string{fmt.Sprintf("%s in %s: %s", s.column, s.file, counted(s.N, "value"))}, Below: s.meaning()}
	for _, n := range s.notes() {
		a.Below = append(a.Below, "note: "+n)
	}
	return a
}

// asTyped prints one of the values with all its digits.
func asTyped(v float64) table.Cell { return table.Number(show.Shortest(v), v) }

func (s summarised) sideWords() string {
	if s.side == sample.EitherSide {
		return "either side"
	}
	return string(s.side)
}

// meaning says in sentences what the figures come to.
func (s summarised) meaning() []string {
	out := []string{s.suspectWords()}
	if s.search != nil {
		asked, found := len(s.search.Steps), len(s.search.Outliers)
		text := fmt.Sprintf("A search for up to %s at once finds none.", counted(asked, "outlier"))
		if found > 0 {
			text = fmt.Sprintf("A search for up to %s at once finds %d: the suspects 1 to %d.", counted(asked, "outlier"), found, found)
		}
		out = append(out, text)
	}
	if r := s.Autocorrelation.Value; r != nil {
		limit := sample.IndependenceLimit(s.N)
		text := "Neighbouring values show no dependence: their correlation is within ±%s, as chance makes it in 95 %% of cases."
		if *r > limit || *r < -limit {
			text = "Neighbouring values depend on each other: their correlation is beyond ±%s, within which chance keeps it in 95 %% of cases, " +
				"and the values tell less than their number suggests."
		}
		out = append(out, fmt.Sprintf(text, fourDigits(limit)))
	}
	return out
}

func (s summarised) suspectWords() string {
	switch {
	case s.suspect == nil:
		return "No value is tested for being an outlier: " + s.whyNone + "."
	case s.suspect.Statistic.Value == nil:
		return "No value is tested for being an outlier: " + s.suspect.Statistic.Reason + "."
	}
	t := s.suspect
	text := "Value %d, %s, may well belong to the rest: it lies %s standard deviations from the mean, and it takes more than %s to call it an outlier at the level %s."
	if t.Outlier {
		text = "Value %d, %s, does not belong to the rest: it lies %s standard deviations from the mean, more than the %s that chance explains at the level %s. " +
			"Look for its cause before leaving it out."
	}
	return fmt.Sprintf(text, t.Suspect.Index+1, show.Shortest(t.Suspect.Value), fourDigits(*t.Statistic.Value), fourDigits(t.Critical), show.Shortest(s.alpha))
}
