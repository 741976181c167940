package impact

import (
	"cmp"
	"math"
	"slices"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// Effect is what may have become of one job.
type Effect struct {
	Job   *records.Job
	Lines []Line // the worst first, those that cannot be bounded last
	// Most is the largest part of half a tolerance that an observed error can have used up, with its uncertainty, 1 being all
	// of it; absent where no line has a bound.
	Most figure.Figure
	// Unbounded is set where a line has no bound: then Most is not the whole answer.
	Unbounded bool
}

// Line is one thing a job measured while results in its range were in doubt.
type Line struct {
	Doubt    *rules.Doubt
	Measured *records.JobFeature
	Finding  *rules.Evidence // the error that weighs most at the job; nil: none is known
	AtMM     float64         // length or path of the job at which its limit was taken; 0 for a constant one
	// Beyond is set where that is longer than what the error was found at: the error is then carried on by the form of the
	// limit, and nothing measured it there.
	Beyond     bool
	ErrorUM    figure.Figure // the error observed, brought to the job, with its sign
	ExpandedUM figure.Figure // its expanded uncertainty, brought likewise
	Share      figure.Figure // |ErrorUM| over half the tolerance
	Most       figure.Figure // |ErrorUM| + ExpandedUM over half the tolerance; absent where any error found has no such bound
}

// Of ranks the jobs of some doubts: those with the largest share first, then those that cannot be bounded; each job once,
// with a line for each thing it measured in each window. A quantity other than "" leaves the others out.
func Of(doubts []rules.Doubt, quantity records.Quantity) []Effect {
	at := map[*records.Job]int{}
	var out []Effect
	for i := range doubts {
		d := &doubts[i]
		if quantity != "" && d.Limit.Quantity != quantity {
			continue
		}
		for _, x := range d.Jobs {
			n, known := at[x.Job]
			if !known {
				n = len(out)
				at[x.Job] = n
				out = append(out, Effect{Job: x.Job})
			}
			for _, m := range x.Measured {
				out[n].Lines = append(out[n].Lines, lineOf(d, m))
			}
		}
	}
	for i := range out {
		out[i].sum()
	}
	slices.SortStableFunc(out, func(a, b Effect) int {
		return cmp.Or(compare(a.Most, b.Most), compare(a.Lines[0].Share, b.Lines[0].Share), cmp.Compare(flag(b.Unbounded), flag(a.Unbounded)), a.Job.End.Compare(b.Job.End), cmp.Compare(a.Job.ID, b.Job.ID))
	})
	return out
}

// UsedUp reports whether an error found can have used up a whole half tolerance of the job: with its uncertainty, or, where
// that is not known, alone.
func (e *Effect) UsedUp() bool {
	reached := func(f figure.Figure) bool { return f.Value != nil && *f.Value >= 1 }
	return slices.ContainsFunc(e.Lines, func(l Line) bool { return reached(l.Most) || reached(l.Share) })
}

// sum ranks the lines and takes the largest share.
func (e *Effect) sum() {
	slices.SortStableFunc(e.Lines, func(a, b Line) int { return cmp.Or(compare(a.Most, b.Most), compare(a.Share, b.Share)) })
	e.Most = e.Lines[0].Most
	for i := range e.Lines {
		e.Unbounded = e.Unbounded || e.Lines[i].Most.Value == nil
	}
}

// compare puts the larger figure first, and what is absent last.
func compare(a, b figure.Figure) int {
	switch {
	case a.Value == nil && b.Value == nil:
		return 0
	case a.Value == nil:
		return 1
	case b.Value == nil:
		return -1
	}
	return cmp.Compare(*b.Value, *a.Value)
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}

// lineOf works out one line: of several errors found in one window the one that weighs most at the job. Where one of them has
// no bound there, the line has none: the others do not speak for it.
func lineOf(d *rules.Doubt, m *records.JobFeature) Line {
	if len(d.Findings) == 0 {
		return unbounded(d, m, d.Why)
	}
	lines := make([]Line, len(d.Findings))
	for i := range d.Findings {
		lines[i] = scaled(d, &d.Findings[i], m)
	}
	open := slices.IndexFunc(lines, func(l Line) bool { return l.Most.Value == nil })
	if open < 0 {
		return slices.MinFunc(lines, func(a, b Line) int { return compare(a.Most, b.Most) })
	}
	why := lines[open].Most
	out := slices.MinFunc(lines, func(a, b Line) int { return compare(a.Share, b.Share) })
	out.Most = why
	return out
}

func unbounded(d *rules.Doubt, m *records.JobFeature, why string) Line {
	f := figure.Absent(why)
	return Line{Doubt: d, Measured: m, ErrorUM: f, ExpandedUM: f, Share: f, Most: f}
}

// scaled brings the error of a finding to a job: it is to the limit at the job's length as what was found is to the limit at
// the check's. That supposes that the error grows as the limit does (common practice, no source; a limit is a bound, and says
// nothing of the course of an error inside it).
func scaled(d *rules.Doubt, e *rules.Evidence, m *records.JobFeature) Line {
	half := m.Tolerance.Micrometres() / 2
	switch {
	case m.Tolerance.IsZero() || !(half > 0):
		return unbounded(d, m, "the job states no tolerance")
	case !(e.Decision.MPEUM > 0):
		return unbounded(d, m, "the limit is zero where the error was found, and nothing can be scaled by it")
	}
	out := Line{Doubt: d, Measured: m, Finding: e}
	bound := e.Decision.MPEUM
	if d.Limit.MPE.GrowsWithLength() {
		length := m.Length
		if d.Limit.CountsPath() {
			length = m.Path
		} else if upTo := d.Limit.UpTo; !upTo.IsZero() && length.Compare(upTo) > 0 {
			length = upTo // longer ones belong to another limit
		}
		switch {
		case length.IsZero() && d.Limit.CountsPath():
			return unbounded(d, m, "the limit counts the path travelled, and the job states none")
		case length.IsZero():
			return unbounded(d, m, "the job states no length")
		}
		um, err := d.Limit.MPE.At(length)
		if err != nil {
			return unbounded(d, m, err.Error())
		}
		bound, out.AtMM = um, length.Millimetres()
		out.Beyond = out.AtMM > foundAtMM(d.Limit, e)
	}
	factor := bound / e.Decision.MPEUM
	size := e.Decision.ErrorUM * factor
	out.ErrorUM, out.Share = figure.Known(size), figure.Known(math.Abs(size)/half)
	if e.Decision.ExpandedUM.Value == nil {
		out.ExpandedUM = figure.Absent("the uncertainty of what was found is not known")
		out.Most = out.ExpandedUM
		return out
	}
	expanded := *e.Decision.ExpandedUM.Value * factor
	out.ExpandedUM, out.Most = figure.Known(expanded), figure.Known((math.Abs(size)+expanded)/half)
	return out
}

// foundAtMM is the length or path at which an error was found.
func foundAtMM(l *records.Limit, e *rules.Evidence) float64 {
	switch {
	case e.Judgement != nil:
		return e.Judgement.Length.Millimetres()
	case l.CountsPath():
		return e.Certified.Path.Millimetres()
	}
	return e.Certified.Length.Millimetres()
}
