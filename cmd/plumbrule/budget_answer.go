package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/budget"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
)

// answer sets all that into words and tables; the one that stands in the middle of the text is laid out for this width.
func (b *budgeted) answer(explain bool, width int) answer {
	a := answer{JSON: b.json(), CSV: b.csv(), Above: []string{b.sheet.Title, b.statement()}, Table: b.methods(), Below: b.below()}
	if explain {
		a.Page = b.page()
	}
	var parts strings.Builder
	if err := b.parts().Plain(&parts, table.Screen{Width: width}); err == nil { // into memory, and with as many cells as columns
		a.Verbatim = append([]string{""}, strings.Split(strings.TrimRight(parts.String(), "\n"), "\n")...)
	}
	return a
}

// unit is the unit behind a figure; a pure number has none.
func (b *budgeted) unit() string {
	if b.sheet.Unit == "1" {
		return ""
	}
	return " " + b.sheet.Unit
}

// statement is the result as JCGM 100:2008 7.2.4 has it stated.
func (b *budgeted) statement() string {
	r := &b.result
	if r.ExpandedU.Value == nil {
		return fmt.Sprintf("%s = %s%s with u_c = %s%s; no expanded uncertainty: %s", b.sheet.Measurand, b.value(r.Value), b.unit(), b.uncertainty(r.CombinedU), b.unit(), r.ExpandedU.Reason)
	}
	text := fmt.Sprintf("%s = (%s ± %s)%s, k = %s", b.sheet.Measurand, b.value(r.Value), b.uncertainty(*r.ExpandedU.Value), b.unit(), show.Fixed(*r.CoverageFactor.Value, 2))
	switch p := r.CoverageProbability.Value; {
	case p == nil:
		text += ", coverage probability not known"
	case b.sheet.Budget.Coverage.Factor != 0:
		text += " as asked for, which holds " + showPercent(*p)
	default:
		text += " for " + showPercent(*p)
	}
	switch nu := r.EffectiveDOF.Value; {
	case r.Law != propagation.ByStudent:
		text += " of a " + string(r.Law) + " distribution"
	case nu != nil && !math.IsInf(*nu, 1):
		text += fmt.Sprintf(" with ν_eff = %s, used as %s", show.Fixed(*nu, 1), show.Fixed(*r.UsedDOF.Value, 0))
	case nu != nil:
		text += " of the normal distribution"
	}
	return text
}

// showPercent prints a probability in per cent, as finely as it differs from the round one that is meant.
func showPercent(p float64) string { return strconv.FormatFloat(100*p, 'g', 4, 64) + " %" }

// value prints a value of the result as finely as its uncertainty, U or, where there is none, u_c: JCGM 100:2008 7.2.6.
func (b *budgeted) value(v float64) string {
	u := b.result.CombinedU
	if u == 0 {
		return show.Shortest(v)
	}
	if b.result.ExpandedU.Value != nil {
		u = *b.result.ExpandedU.Value
	}
	_, last := budget.Round(u, b.digits)
	return roundedTo(v, last)
}

// uncertainty rounds to the digits asked for, and up where rounding to the nearest would cut by more than 5 %.
func (b *budgeted) uncertainty(u float64) string {
	rounded, last := budget.Round(u, b.digits)
	return roundedTo(rounded, last)
}

// significant prints a number with up to this many significant digits, and an exponent only where it is very small or large.
func sigDigits(v float64, digits int) string {
	if size := math.Abs(v); size >= math.Pow10(digits) && size < 1e9 {
		return show.Fixed(v, 0)
	}
	return shortExponent(strconv.FormatFloat(v, 'g', digits, 64))
}

// shortExponent writes 1e-6 for 1e-06.
func shortExponent(text string) string {
	mantissa, exponent, has := strings.Cut(text, "e")
	if !has {
		return text
	}
	sign, number := exponent[:1], strings.TrimLeft(exponent[1:], "0")
	if sign == "+" {
		sign = ""
	}
	return mantissa + "e" + sign + number
}

// inputValue prints an estimate as it was typed, or where it was computed, to three digits of its uncertainty.
func inputValue(v, u float64) string {
	if text := shortExponent(show.Shortest(v)); len(text) <= 11 || u == 0 {
		return text
	}
	return besideSpread(v, &u)
}

// shortLaw names a distribution in a narrow column.
func shortLaw(l law.Law) string {
	switch l.Kind {
	case law.CurvilinearTrapezoidal:
		return "curvilinear"
	case law.Trapezoidal:
		return "trapezoid"
	default:
		return string(l.Kind)
	}
}

// parts is the budget's table: JCGM 100:2008 H.1 and EA-4/02 have one such line for each input.
func (b *budgeted) parts() table.Table {
	unit := b.sheet.Unit
	if unit == "1" {
		unit = ""
	}
	t := table.Table{Columns: []table.Column{
		{Title: "input"},
		{Title: "value", Align: table.Decimal},
		{Title: "unit", Optional: 1},
		{Title: "u", Align: table.Right},
		{Title: "ν", Align: table.Right, Optional: 3},
		{Title: "law", Wrap: true, Optional: 2},
		{Title: "c", Align: table.Right},
		{Title: "|c|·u", Unit: unit, Align: table.Decimal},
		{Title: "share", Unit: "%", Align: table.Decimal},
	}}
	largest := b.largest()
	for i, c := range b.result.Components {
		in := &b.sheet.Budget.Inputs[i]
		u, nu := sigDigits(c.U, 3), "∞"
		if !math.IsInf(in.DegreesOfFreedom, 1) {
			nu = sigDigits(in.DegreesOfFreedom, 3)
		}
		if in.Law.Kind == law.Exact {
			u, nu = "0", ""
		}
		t.Add(table.Text(in.Name), table.Text(inputValue(in.Value, c.U)), table.Text(in.Unit), table.Text(u), table.Text(nu),
			table.Text(shortLaw(in.Law)), table.Text(sigDigits(c.Sensitivity, 4)), table.Text(b.fine(c.Contribution)), share(c.Share, i == largest))
	}
	if b.result.Order == 2 {
		b.addTerms(&t, largest-len(b.result.Components))
	}
	return t
}

// addTerms adds a row for each term of second order that shows in the share, and one for all others.
func (b *budgeted) addTerms(t *table.Table, largest int) {
	const shown = 0.0005 // of u_c²: less prints as 0.0 %
	blank := table.Text("")
	row := func(name string, contribution float64, share table.Cell) {
		t.Add(table.Text(name), blank, blank, blank, blank, blank, blank, table.Text(b.fine(contribution)), share)
	}
	others, left := 0, 0.0
	for i, term := range b.result.Second.Terms {
		if math.Abs(term.Share) < shown && i != largest {
			others++
			left += term.Share
			continue
		}
		row(b.pair(term), term.Contribution, share(term.Share, i == largest))
	}
	if others > 0 {
		row("others", math.Sqrt(math.Abs(left))*b.result.CombinedU, share(left, false))
	}
}

// share is a part of the variance in per cent, the largest with a mark.
func share(v float64, largest bool) table.Cell {
	if largest {
		return table.Text(show.Fixed(100*v, 1) + " ◂")
	}
	return table.Text(show.Fixed(100*v, 1))
}

// fine prints a figure in the unit of the result to three significant digits of the combined uncertainty, one more than the
// result is stated with.
func (b *budgeted) fine(v float64) string {
	if b.result.CombinedU == 0 {
		return show.Shortest(v)
	}
	_, last := budget.Round(b.result.CombinedU, 3)
	return roundedTo(v, last)
}

// roundedTo prints a figure to this power of ten, with an exponent where there are too many digits to read.
func roundedTo(v float64, last int) string {
	const readable = 9
	switch {
	case v == 0:
		return show.Fixed(v, min(max(0, -last), readable))
	case last > 0 && math.Abs(v) < 1e12:
		step := math.Pow10(last)
		return show.Fixed(math.Round(v/step)*step, 0)
	case last >= -readable && math.Abs(v) < 1e12:
		return show.Fixed(v, -last)
	}
	return shortExponent(strconv.FormatFloat(v, 'e', max(0, int(math.Floor(math.Log10(math.Abs(v))))-last), 64))
}

func (b *budgeted) pair(t propagation.Term) string {
	x, y := b.sheet.Budget.Inputs[t.A].Name, b.sheet.Budget.Inputs[t.B].Name
	if t.A == t.B {
		return x + "²"
	}
	return x + "·" + y
}

// largest is the row of the largest contribution; -1 if there is none.
func (b *budgeted) largest() int {
	row, most := -1, 0.0
	for i, c := range b.result.Components {
		if c.Contribution > most {
			row, most = i, c.Contribution
		}
	}
	if b.result.Order == 2 {
		for i, t := range b.result.Second.Terms {
			if t.Contribution > most {
				row, most = len(b.result.Components)+i, t.Contribution
			}
		}
	}
	return row
}

// methods sets the results of propagation and of trials beside each other, as JCGM 101:2008 does in its examples.
func (b *budgeted) methods() table.Table {
	unit := b.sheet.Unit
	if unit == "1" {
		unit = ""
	}
	r := &b.result
	value := b.sheet.Measurand
	if show.Width(value) > 8 {
		value = "value"
	}
	t := table.Table{Columns: []table.Column{
		{Title: "method"},
		{Title: value, Unit: unit, Align: table.Decimal},
		{Title: "u", Unit: unit, Align: table.Decimal},
		{Title: "low", Unit: unit, Align: table.Decimal},
		{Title: "high", Unit: unit, Align: table.Decimal},
		{Title: "probability", Unit: "%", Align: table.Decimal},
	}}
	cell := func(v float64) table.Cell { return table.Text(b.fine(v)) }
	none := table.None()
	probability := none
	if p := r.CoverageProbability.Value; p != nil {
		probability = table.Text(strconv.FormatFloat(100**p, 'g', 4, 64))
	}
	row := func(name string, u float64) {
		low, high := none, none
		if k := r.CoverageFactor.Value; k != nil {
			low, high = cell(r.Value-*k*u), cell(r.Value+*k*u)
		}
		t.Add(table.Text(name), cell(r.Value), cell(u), low, high, probability)
	}
	row("first order", r.FirstU)
	if u := r.Second.U.Value; u != nil && len(r.Second.Terms) > 0 {
		row("second order", *u)
	}
	if m := b.trials; m != nil {
		mean, u := none, none
		if m.Mean.Value != nil {
			mean = cell(*m.Mean.Value)
		}
		if m.U.Value != nil {
			u = cell(*m.U.Value)
		}
		p := table.Text(strconv.FormatFloat(100*m.Probability, 'g', 4, 64))
		t.Add(table.Text("Monte Carlo"), mean, u, cell(m.Symmetric.Low), cell(m.Symmetric.High), p)
		t.Add(table.Text("  shortest interval"), table.Text(""), table.Text(""), cell(m.Shortest.Low), cell(m.Shortest.High), p)
	}
	return t
}

// below says what the trials bear out, and what there is to know.
func (b *budgeted) below() []string {
	var out []string
	switch {
	case b.trials == nil && b.whyNone == "not asked for":
	case b.trials == nil:
		out = append(out, "No Monte Carlo: "+b.whyNone+".")
	default:
		out = append(out, b.trialsSentence())
	}
	for _, n := range b.notes() {
		out = append(out, "note: "+n.Text)
	}
	return out
}

func (b *budgeted) trialsSentence() string {
	t := b.trials
	text := fmt.Sprintf("%d trials, seed %d", t.Trials, b.seed)
	if b.adaptive {
		text += fmt.Sprintf(", stable to ±%s%s", sigDigits(t.Tolerance, 2), b.unit())
		if !t.Stable {
			text = strings.Replace(text, ", stable", ", not stable", 1)
		}
	}
	v := b.validation
	if v == nil {
		return text + ". The expanded uncertainty is not compared: " + b.whyNoVerdict + "."
	}
	text += fmt.Sprintf(": the ends of ±U differ by %s and %s%s, with a tolerance of %s%s", sigDigits(v.LowDiff, 2), sigDigits(v.HighDiff, 2), b.unit(), sigDigits(v.Tolerance, 2), b.unit())
	order := [...]string{"first", "second"}[b.result.Order-1]
	switch v.Verdict {
	case "validated":
		return text + ". Propagation to " + order + " order is validated (JCGM 101, 8.1)."
	case "not validated":
		return text + ". Propagation to " + order + " order is not validated (JCGM 101, 8.1): take the interval of the trials."
	default:
		return text + ". The trials are too few to tell (JCGM 101, 8.1): make more, or compare with fewer digits."
	}
}

// notes are those of the propagation and of the trials.
func (b *budgeted) notes() []propagation.Note {
	out := append([]propagation.Note(nil), b.result.Notes...)
	for _, c := range b.result.Components {
		if c.Share < 0 {
			out = append(out, propagation.Note{Code: "correlated-shares", Text: "Inputs are correlated: a share is the input's covariance with the whole, and below 0 where the input takes away from what others add."})
			break
		}
	}
	if b.trials == nil {
		return out
	}
	for _, text := range b.trials.Notes {
		out = append(out, propagation.Note{Code: "monte-carlo", Text: text})
	}
	for _, missing := range []struct {
		what   string
		reason string
	}{{"mean", b.trials.Mean.Reason}, {"standard deviation", b.trials.U.Reason}} {
		if missing.reason != "" {
			out = append(out, propagation.Note{Code: "monte-carlo", Text: fmt.Sprintf("No %s from trials: %s.", missing.what, missing.reason)})
		}
	}
	return out
}
