package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/drift"
	"plumbrule/rules/figure"
)

// lineJSON is what drift --csv prints as JSON: an interface, to which fields are only added. A figure that does not exist is
// null, and reasons says why under its name. Where x is a date, x_origin is the earliest one and x counts the days from it.
type lineJSON struct {
	N           int            `json:"n"`
	XOrigin     *string        `json:"x_origin"`
	Level       float64        `json:"level"`
	Intercept   float64        `json:"intercept"`
	Slope       float64        `json:"slope"`
	ResidualSD  float64        `json:"residual_sd"`
	InterceptSE float64        `json:"intercept_se"`
	SlopeSE     float64        `json:"slope_se"`
	RSquared    *float64       `json:"r_squared"`
	XMean       float64        `json:"x_mean"`
	AtMean      float64        `json:"at_mean"`
	Confidence  lineBandsJSON  `json:"confidence"`
	Residual    residualJSON   `json:"residual"`
	TheilSen    *theilSenJSON  `json:"theil_sen"`
	Crossings   []crossingJSON `json:"crossings"`
	Reasons     absences       `json:"reasons"`
}

type lineBandsJSON struct {
	InterceptLower *float64 `json:"intercept_lower"`
	InterceptUpper *float64 `json:"intercept_upper"`
	SlopeLower     *float64 `json:"slope_lower"`
	SlopeUpper     *float64 `json:"slope_upper"`
	Reasons        absences `json:"reasons"`
}

type residualJSON struct {
	Lag1         *float64 `json:"lag1"`
	DurbinWatson *float64 `json:"durbin_watson"`
	Chance       *float64 `json:"chance"`
	Flagged      bool     `json:"flagged"`
	Reservation  string   `json:"reservation"`
	Reasons      absences `json:"reasons"`
}

type theilSenJSON struct {
	Slope     float64  `json:"slope"`
	Lower     *float64 `json:"lower"`
	Upper     *float64 `json:"upper"`
	Intercept float64  `json:"intercept"`
	Reasons   absences `json:"reasons"`
}

// crossingJSON has in lower and upper where the prediction band meets the limit, and in confidence_lower and
// confidence_upper where the confidence band does.
type crossingJSON struct {
	Limit           float64  `json:"limit"`
	Estimate        *float64 `json:"estimate"`
	Lower           *float64 `json:"lower"`
	Upper           *float64 `json:"upper"`
	ConfidenceLower *float64 `json:"confidence_lower"`
	ConfidenceUpper *float64 `json:"confidence_upper"`
	EstimateDate    *string  `json:"estimate_date"`
	LowerDate       *string  `json:"lower_date"`
	UpperDate       *string  `json:"upper_date"`
	Reasons         absences `json:"reasons"`
}

func (l *fittedLine) json() lineJSON {
	out := lineJSON{
		N: l.N, Level: l.level, Intercept: l.Intercept, Slope: l.Slope, ResidualSD: l.ResidualSD, InterceptSE: l.InterceptSE, SlopeSE: l.SlopeSE,
		XMean: l.XMean, AtMean: l.AtMean, Residual: residualJSONOf(l.Residual), TheilSen: theilSenJSONOf(l.robust), Crossings: []crossingJSON{}, Reasons: absences{},
	}
	out.RSquared = out.Reasons.value("r_squared", l.RSquared)
	if l.robust == nil {
		out.Reasons["theil_sen"] = l.noRobust
	}
	if l.first.IsZero() {
		out.Reasons["x_origin"] = "x is no date"
	} else {
		out.XOrigin = textOrNull(l.first.String())
	}
	b := absences{}
	out.Confidence = lineBandsJSON{
		b.value("intercept_lower", l.intercept.Lower), b.value("intercept_upper", l.intercept.Upper),
		b.value("slope_lower", l.slope.Lower), b.value("slope_upper", l.slope.Upper), b,
	}
	for _, c := range l.crossings {
		r := absences{}
		out.Crossings = append(out.Crossings, crossingJSON{
			c.Limit, r.value("estimate", c.Estimate), r.value("lower", c.Prediction.Lower), r.value("upper", c.Prediction.Upper),
			r.value("confidence_lower", c.Confidence.Lower), r.value("confidence_upper", c.Confidence.Upper),
			textOrNull(l.day(c.Estimate)), textOrNull(l.day(c.Prediction.Lower)), textOrNull(l.day(c.Prediction.Upper)), r,
		})
	}
	return out
}

func residualJSONOf(r drift.Residual) residualJSON {
	a := absences{}
	return residualJSON{a.value("lag1", r.Lag1), a.value("durbin_watson", r.DurbinWatson), a.value("chance", r.Chance), r.Correlated, r.Reservation, a}
}

func theilSenJSONOf(r *drift.RobustLine) *theilSenJSON {
	if r == nil {
		return nil
	}
	a := absences{}
	return &theilSenJSON{r.Slope, a.value("lower", r.Lower), a.value("upper", r.Upper), r.Intercept, a}
}

// textOrNull is null in JSON for a text that does not exist.
func textOrNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

func (l *fittedLine) answer() answer {
	figures := l.figures()
	a := answer{JSON: l.json(), CSV: l.csv(), Table: figures, Below: l.meaning()}
	a.Above = []string{fmt.Sprintf("%s over %s in %s: %s, straight line at the level %s", l.y, l.xWords(), l.file, counted(l.N, "point"), percent(l.level))}
	if len(l.crossings) > 0 {
		var lines strings.Builder
		if err := figures.Plain(&lines, table.Screen{}); err == nil { // into memory, and with as many cells as columns
			a.Verbatim = append([]string{""}, strings.Split(strings.TrimRight(lines.String(), "\n"), "\n")...)
		}
		a.Table = l.meetings()
	}
	if l.Residual.Reservation != "" {
		a.Below = append(a.Below, "note: "+l.Residual.Reservation)
	}
	return a
}

func (l *fittedLine) xWords() string {
	if l.first.IsZero() {
		return l.x
	}
	return fmt.Sprintf("%s (days from %s)", l.x, l.first)
}

func (l *fittedLine) perX() string {
	if l.first.IsZero() {
		return "for each unit of " + l.x
	}
	return "a day"
}

// figures lists what the line is made of.
func (l *fittedLine) figures() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "figure"}, {Title: "value", Align: table.Decimal}, {Title: "standard error", Align: table.Decimal}, {Title: "from", Align: table.Decimal}, {Title: "to", Align: table.Decimal},
	}}
	blank, number := table.Text(""), func(v float64) table.Cell { return table.Number(fourDigits(v), v) }
	t.Add(table.Text("intercept"), number(l.Intercept), number(l.InterceptSE), figureCell(l.intercept.Lower), figureCell(l.intercept.Upper))
	t.Add(table.Text("slope"), number(l.Slope), number(l.SlopeSE), figureCell(l.slope.Lower), figureCell(l.slope.Upper))
	if l.robust != nil {
		t.Add(table.Text("slope by Theil and Sen"), number(l.robust.Slope), blank, figureCell(l.robust.Lower), figureCell(l.robust.Upper))
	}
	t.Add(table.Text("mean of x"), number(l.XMean), blank, blank, blank)
	t.Add(table.Text("line at the mean of x"), number(l.AtMean), blank, blank, blank)
	t.Add(table.Text("residual standard deviation"), number(l.ResidualSD), blank, blank, blank)
	t.Add(table.Text("share explained, R²"), figureCell(l.RSquared), blank, blank, blank)
	t.Add(table.Text("lag-1 autocorrelation"), figureCell(l.Residual.Lag1), blank, blank, blank)
	t.Add(table.Text("Durbin-Watson"), figureCell(l.Residual.DurbinWatson), blank, blank, blank)
	return t
}

// meetings lists where line and bands meet the limits.
func (l *fittedLine) meetings() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "limit", Align: table.Decimal},
		{Title: "prediction band from", Align: table.Decimal},
		{Title: "confidence band from", Align: table.Decimal},
		{Title: "line", Align: table.Decimal},
		{Title: "confidence band to", Align: table.Decimal},
		{Title: "prediction band to", Align: table.Decimal},
	}}
	cell := func(f figure.Figure) table.Cell {
		switch {
		case f.Value == nil:
			return table.None()
		case l.day(f) != "":
			return table.Number(l.day(f), *f.Value)
		}
		return table.Number(besideSpread(*f.Value, &l.ResidualSD), *f.Value)
	}
	for _, c := range l.crossings {
		t.Add(table.Number(show.Shortest(c.Limit), c.Limit), cell(c.Prediction.Lower), cell(c.Confidence.Lower), cell(c.Estimate), cell(c.Confidence.Upper), cell(c.Prediction.Upper))
	}
	return t
}

// csv has a row for each figure and for each limit.
func (l *fittedLine) csv() table.Table {
	t := table.Table{Columns: []table.Column{{Title: "figure"}, {Title: "limit"}, {Title: "value"}, {Title: "standard error"}, {Title: "lower"}, {Title: "upper"}}}
	for _, row := range l.figures().Rows {
		t.Add(row[0], table.Text(""), row[1], row[2], row[3], row[4])
	}
	for _, c := range l.crossings {
		limit := table.Number("", c.Limit)
		t.Add(table.Text("prediction band meets the limit"), limit, figureCell(c.Estimate), table.Text(""), figureCell(c.Prediction.Lower), figureCell(c.Prediction.Upper))
		t.Add(table.Text("confidence band meets the limit"), limit, figureCell(c.Estimate), table.Text(""), figureCell(c.Confidence.Lower), figureCell(c.Confidence.Upper))
	}
	return t
}

// meaning says in sentences what the figures come to.
func (l *fittedLine) meaning() (out []string) {
	switch {
	case l.slope.Lower.Value == nil:
		out = append(out, "How far the line can be trusted is not known: "+l.slope.Lower.Reason+".")
	case *l.slope.Lower.Value > 0 || *l.slope.Upper.Value < 0:
		out = append(out, fmt.Sprintf("A drift is shown: %s goes by %s %s, and the interval %s to %s does not include 0.",
			l.y, signedDigits(l.Slope), l.perX(), signedDigits(*l.slope.Lower.Value), signedDigits(*l.slope.Upper.Value)))
	default:
		out = append(out, fmt.Sprintf("No drift is shown: the slope, %s, has an interval that includes 0.", signedDigits(l.Slope)))
	}
	for _, c := range l.crossings {
		first := c.Prediction.Lower
		if first.Value == nil {
			out = append(out, fmt.Sprintf("Limit %s: no place can be named; %s.", show.Shortest(c.Limit), first.Reason))
			continue
		}
		where := l.day(first)
		if where == "" {
			where = besideSpread(*first.Value, &l.ResidualSD)
		}
		out = append(out, fmt.Sprintf("Limit %s: a further reading may be at it from %s on.", show.Shortest(c.Limit), where))
	}
	return out
}
