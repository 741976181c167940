package drawing

import (
	"fmt"

	"plumbrule/rules/chart"
)

// mostSteps is how many steps are told in words, the latest.
const mostSteps = 5

// Steps tells in words how far the values moved at each restart, one sentence a
// restart; none for a chart of one segment, or a picture that cannot be drawn.
func (p Picture) Steps() []string {
	s, err := newScale(field{traces: []trace{{points: p.Chart.Points}}})
	if err != nil {
		return nil
	}
	value := s.fine()
	var out []string
	for _, segment := range p.Chart.Segments {
		step := segment.Step
		if step == nil {
			continue
		}
		change := "as before"
		switch {
		case step.Difference > 0:
			change = "higher by " + joined(value(step.Difference), p.Unit)
		case step.Difference < 0:
			change = "lower by " + joined(value(-step.Difference), p.Unit)
		}
		text := fmt.Sprintf("step at %s: the mean is %s", p.when(segment.First-1), change)
		text += p.sureness(step.Interval, value)
		out = append(out, text)
	}
	if more := len(out) - mostSteps; more > 0 {
		out = append([]string{fmt.Sprintf("step: %d earlier restarts", more)}, out[more:]...)
	}
	return out
}

// sureness tells what stands behind a step.
func (p Picture) sureness(at *chart.Interval, value func(float64) string) string {
	if at == nil {
		return "; too few points to tell how sure that is"
	}
	text := fmt.Sprintf(" (95 %% confidence interval of the change %s to %s)", value(at.Lower), joined(value(at.Upper), p.Unit))
	if at.Lower <= 0 && at.Upper >= 0 {
		text += "; chance alone could explain it"
	}
	return text
}
