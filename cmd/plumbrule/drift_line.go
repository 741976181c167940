package main

import (
	"math"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records/calendar"
	"plumbrule/rules"
	"plumbrule/rules/drift"
	"plumbrule/rules/figure"
)

// fittedLine is a straight line through the points of a file.
type fittedLine struct {
	drift.Line
	file, x, y string
	first      calendar.Date // day 0; zero: x is a number
	level      float64
	slope      drift.Band
	intercept  drift.Band
	robust     *drift.RobustLine
	noRobust   string
	crossings  []drift.Crossings
}

func (o *driftOptions) printLine(e *env, cmd *cobra.Command) error {
	l, err := o.line(e)
	if err != nil {
		return err
	}
	return e.print(formatOf(cmd), l.answer())
}

func (o *driftOptions) line(e *env) (*fittedLine, error) {
	switch "" {
	case *o.csv:
		return nil, misused("no --csv, expected the file with the points", "name it, or - for standard input")
	case *o.x:
		return nil, misused("no --x, expected the name of the column with the days or dates", "give the name that stands in the header row, for example --x day")
	case *o.y:
		return nil, misused("no --y, expected the name of the column with the errors or readings", "give the name that stands in the header row, for example --y error_um")
	}
	l := &fittedLine{file: inputName(*o.csv), x: *o.x, y: *o.y, level: o.level.value}
	x, y, err := l.read(e, *o.csv)
	if err != nil {
		return nil, err
	}
	refused := func(err error) error {
		what, mend, _ := strings.Cut(err.Error(), "; ")
		return unreadable(l.file+": "+what, mend, err)
	}
	if l.Line, err = drift.Fit(x, y); err != nil {
		return nil, refused(err)
	}
	if l.slope, err = l.SlopeBand(l.level); err != nil {
		return nil, refused(err)
	}
	if l.intercept, err = l.Confidence(0, l.level); err != nil {
		return nil, refused(err)
	}
	l.robust, l.noRobust = rules.RobustLine(x, y, l.level)
	for _, limit := range o.limits.values {
		c, err := l.Crossings(limit, l.level)
		if err != nil {
			return nil, misused("--limit: "+err.Error(), "")
		}
		l.crossings = append(l.crossings, c)
	}
	return l, nil
}

// read reads one point a row. The first row says whether x is a number or a date; dates become days from the earliest.
func (l *fittedLine) read(e *env, file string) (x, y []float64, err error) {
	c, err := e.openColumns(file)
	if err != nil {
		return nil, nil, err
	}
	c.blank = "fill it in, or delete the row: a line must not skip a point unsaid"
	atX, err := c.find("--x", l.x)
	if err != nil {
		return nil, nil, err
	}
	atY, err := c.find("--y", l.y)
	if err != nil {
		return nil, nil, err
	}
	var dates []calendar.Date
	err = c.each(func(row []string) error {
		text := strings.TrimSpace(row[atX])
		date, notDate := calendar.ParseDate(text)
		switch dated := len(dates) > 0; {
		case dated && notDate != nil:
			return c.at(atX, "\""+text+"\", expected a date as in the rows above", "write it as 2026-06-30")
		case dated || len(y) == 0 && notDate == nil:
			dates = append(dates, date)
			if date.Before(l.first) || l.first.IsZero() {
				l.first = date
			}
		default:
			value, err := c.number(row, atX)
			if err != nil {
				return err
			}
			x = append(x, value)
		}
		value, err := c.number(row, atY)
		y = append(y, value)
		return err
	})
	if err == nil && len(y) == 0 {
		err = c.empty(atY)
	}
	for _, d := range dates {
		x = append(x, float64(l.first.DaysUntil(d)))
	}
	return x, y, err
}

// day is the date in which a number of days from the first ends; empty where x is no date or there is no figure.
func (l *fittedLine) day(f figure.Figure) string {
	const farthest = 1e6 // days: some millennia, beyond which no calendar means anything
	if l.first.IsZero() || f.Value == nil || math.Abs(*f.Value) > farthest {
		return ""
	}
	return l.first.AddDays(int(math.Floor(*f.Value))).String()
}
