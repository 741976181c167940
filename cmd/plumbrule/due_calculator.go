package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/due"
)

// dueCalculator is the part of due that needs no records: its flags and what follows from them.
type dueCalculator struct {
	from     *parsed[calendar.Date]
	interval *parsed[quantity.Interval]
	count    *parsed[int]
	until    *parsed[due.Policy]
}

func newDueCalculator(f *flagSet) *dueCalculator {
	f.head("Without records")
	c := &dueCalculator{
		from:     readFlag(f, "from", "the anchor: a `DATE` such as 2024-02-29", calendar.ParseDate),
		interval: readFlag(f, "interval", "the `INTERVAL`: \"12 months\", \"1 year 6 months\", \"7 days\" or P12M", quantity.ParseInterval),
		count:    f.whole("count", "how many due dates: a `NUMBER` up to 1000; 1 if not given", 1, 1, 1000),
		until: readFlag(f, "until", "`POLICY`: due on the day, or at the month-end; day if not given. "+
			"An interval with days in it stays to the day", oneOf(due.Day, due.MonthEnd)),
	}
	c.until.value = due.Day
	return c
}

// wanted tells whether any of the calculator's flags was used.
func (c *dueCalculator) wanted() bool {
	return c.from.given() || c.interval.given() || c.count.given() || c.until.given()
}

// dueDatesJSON is what due prints as JSON when it reckons without records.
type dueDatesJSON struct {
	From     string   `json:"from"`
	Interval string   `json:"interval"`
	Until    string   `json:"until"`
	Due      []string `json:"due"`
}

func (c *dueCalculator) answer() (answer, error) {
	switch {
	case !c.from.given():
		return answer{}, misused("no --from, expected the date to reckon from", "give the day of the calibration or check, for example --from 2026-10-05")
	case !c.interval.given():
		return answer{}, misused("no --interval, expected the time between two due dates", `give it in months or days, for example --interval "12 months"`)
	}
	anchor := c.from.value
	result := dueDatesJSON{From: anchor.String(), Interval: c.interval.value.String(), Until: string(c.until.value), Due: []string{}}
	t := table.Table{Columns: []table.Column{{Title: "no.", Align: table.Right}, {Title: "due"}, {Title: "weekday"}, {Title: "after", Unit: "days", Align: table.Right}}}
	for k := 1; k <= c.count.value; k++ {
		date := due.Next(anchor, c.interval.value, k, c.until.value)
		if date.IsZero() {
			return answer{}, misused(fmt.Sprintf("due date %d lies after the year 9999, expected dates of four-digit years", k), "ask for fewer of them")
		}
		result.Due = append(result.Due, date.String())
		t.Add(table.Count(k), table.Text(show.Date(date)), table.Text(date.Weekday().String()), table.Count(anchor.DaysUntil(date)))
	}
	return answer{JSON: result, CSV: t, Table: t}, nil
}
