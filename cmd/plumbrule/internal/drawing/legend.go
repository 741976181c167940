package drawing

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/rules/chart"
)

// legend explains the signs of a terminal drawing in words.
func (p Picture) legend(fields []field, shared int) []string {
	c, names := p.Chart, p.names()
	out := []string{"o " + names.point + ", X " + names.signal}
	if names.faint != "" {
		out[0] += ", . " + names.faint
	}
	if len(fields[0].onsets) > 0 {
		out[0] += ", * likely onset"
	}
	if shared > 0 {
		signs := 0
		for _, f := range fields {
			for _, t := range f.traces {
				if !f.worded && !t.faint {
					signs += len(t.points)
				}
			}
		}
		what := "points"
		if signs > len(c.Points) {
			what = "signs"
		}
		out[0] += fmt.Sprintf("; the %d %s fill %d places, so one sign can stand for several", signs, what, signs-shared)
	}
	first := max(0, len(c.Segments)-3)
	if first > 0 {
		out = append(out, fmt.Sprintf("--- %s, - - %s; the last 3 of %d segments:", names.centre, names.limits, len(c.Segments)))
	}
	for i := first; i < len(c.Segments); i++ {
		out = append(out, p.segmentWords(fields, i))
	}
	if len(c.Range) > 0 {
		out = append(out, p.rangeWords(fields)...)
	}
	for _, f := range fields {
		if f.mpe != nil {
			text := "= MPE +/-" + joined(bound(*f.mpe), p.Unit)
			if !f.scale.mpe {
				text = text[2:] + " lies beyond the drawing"
			}
			out = append(out, text)
		}
	}
	for i, mark := range p.Marks {
		if i == mostListed {
			out = append(out, fmt.Sprintf("| and %d more", len(p.Marks)-i))
			break
		}
		out = append(out, "| "+p.markWhen(mark)+": "+plain(mark.Text))
	}
	return out
}

// segmentWords tells the lines of one segment.
func (p Picture) segmentWords(fields []field, i int) string {
	segment, names, value := p.Chart.Segments[i], p.names(), fields[0].scale.fine()
	where := ""
	if len(p.Chart.Segments) > 1 {
		where = ", " + numbered(segment.First, segment.Last)
	}
	l := segment.Limits
	if l == nil {
		return "no limits" + where
	}
	text := fmt.Sprintf("--- %s %s, - - %s %s and %s", names.centre, joined(value(l.Centre), p.Unit), names.limits, value(l.Lower), joined(value(l.Upper), p.Unit))
	switch p.Chart.Kind {
	case chart.KindEWMA:
		text += " in the long run"
	case chart.KindCUSUM:
		text = "- - " + names.limits + " " + joined(value(l.Upper), p.Unit)
		if len(p.Targets) > 0 {
			text += ", --- target of the values " + joined(fields[len(fields)-1].scale.fine()(p.Targets[i]), p.Unit)
		}
	case chart.KindMeanRange, chart.KindMeanDeviation:
		stepped := slices.ContainsFunc(fields[0].pieces, func(one piece) bool { return one.segment == i && one.last != segment.Last })
		if stepped {
			text += " for the last sample; they follow the sizes of the samples"
		}
	default:
	}
	text += where
	if segment.Provisional {
		text += ", provisional"
	}
	if segment.Baseline > 0 {
		text += "; [-] baseline " + numbered(segment.First, segment.First+segment.Baseline-1)
	}
	return text
}

// rangeWords tells the lines of the dispersion.
func (p Picture) rangeWords(fields []field) []string {
	r := p.Chart.Current().Range
	if r == nil {
		return nil
	}
	name := Dispersion(p.Chart.Kind)
	// Beside values of the same size two digits are enough; a panel of its own has its own digits.
	value := fields[0].scale.fine()
	if f := fields[1]; !f.worded {
		value = f.scale.fine()
	} else {
		name += ", not drawn"
	}
	text := name + ": centre " + joined(value(r.Centre), p.Unit)
	if r.Lower > 0 {
		text += ", lower limit " + joined(value(r.Lower), p.Unit)
	}
	return []string{text + ", upper limit " + joined(value(r.Upper), p.Unit)}
}

// account lists signals, steps, gaps, remarks and reservations.
func (p Picture) account(fields []field) []string {
	out := []string{p.summary()}
	var found []string
	for _, f := range fields {
		if f.worded {
			f.scale = fields[0].scale // without an axis of its own, as many digits as the values have
		}
		found = append(found, p.findings(f)...)
	}
	for i, f := range found {
		if i == mostListed {
			out = append(out, fmt.Sprintf("X and %d more points that signal", len(found)-i))
			break
		}
		out = append(out, "X "+f)
	}
	for i, o := range fields[0].onsets {
		if i == mostListed {
			out = append(out, fmt.Sprintf("* and %d more", len(fields[0].onsets)-i))
			break
		}
		out = append(out, "* "+o.words(p))
	}
	out = slices.Concat(out, p.Steps(), p.gapWords(), p.Remarks)
	for _, warning := range p.Chart.Warnings {
		out = append(out, "note: "+warning.Sentence)
	}
	for i := range out {
		out[i] = strings.TrimRight(out[i], " ")
	}
	return out
}
