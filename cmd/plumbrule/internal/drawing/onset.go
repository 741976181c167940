package drawing

import "plumbrule/rules/chart"

// onset is where a sum that signals last left 0: the usual estimate of when the
// process moved.
type onset struct {
	index int     // of the point
	at    float64 // the sum, turned downward if it is the lower one
	sum   string  // "upper sum" or "lower sum"
	first bool    // the segment begins with it, so the process may have moved before
}

// onsets returns each onset once, however many points signal after it.
func (p Picture) onsets() []onset {
	type place struct {
		test chart.Test
		n    int
	}
	var out []onset
	seen := map[place]bool{}
	for _, point := range p.Chart.Points {
		for _, s := range point.Signals {
			if s.Test != chart.HighSum && s.Test != chart.LowSum || len(s.Points) == 0 || seen[place{s.Test, s.Points[0]}] {
				continue
			}
			seen[place{s.Test, s.Points[0]}] = true
			from := p.Chart.Points[s.Points[0]-1]
			o := onset{index: from.N - 1, at: from.High, sum: "upper sum", first: p.Chart.Segments[from.Segment].First == from.N}
			if s.Test == chart.LowSum {
				o.sum, o.at = "lower sum", -from.Low
			}
			out = append(out, o)
		}
	}
	return out
}

// words tells an onset.
func (o onset) words(p Picture) string {
	text := "likely onset " + p.when(o.index) + ": the " + o.sum + " stayed above 0 from there until it signalled"
	if o.first {
		text += "; the sums begin there, so it may lie before"
	}
	return text
}
