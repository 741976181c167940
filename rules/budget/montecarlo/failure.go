package montecarlo

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/random"
)

// FailureError says that the result has no value in some trials, and where among the inputs these lie. Such trials are not
// left out: what remained would be the distribution of another result.
type FailureError struct {
	Trial    int               // the first such trial, counted from 1
	Fault    *expression.Fault // what happened in it
	Failed   int               // such trials among those from From to To, the chunk of the first
	From, To int
	Region   []Span // of the inputs that the part at fault depends on, over the Failed trials
}

// Span is the range of an input's values.
type Span struct {
	Name      string
	Low, High float64
}

// Error tells it on one line.
func (e *FailureError) Error() string {
	text := fmt.Sprintf("%s, in trial %d", e.Fault.Error(), e.Trial)
	if e.Failed > 1 {
		text = fmt.Sprintf("%s, in %d of the trials %d to %d, first in trial %d", e.Fault.Error(), e.Failed, e.From, e.To, e.Trial)
	}
	var at []string
	for _, s := range e.Region {
		if s.Low == s.High {
			at = append(at, fmt.Sprintf("%s = %.6g", s.Name, s.Low))
		} else {
			at = append(at, fmt.Sprintf("%s from %.6g to %.6g", s.Name, s.Low, s.High))
		}
	}
	if len(at) > 0 {
		text += ", where " + strings.Join(at, ", ")
	}
	return text
}

// failure draws a chunk once more, trial by trial, to tell what is wrong; before is the number of trials before it.
func (p *Problem) failure(s *random.Sampler, stream random.Generator, before, trials int) error {
	out := &FailureError{From: before + 1, To: before + trials}
	vectors := make([][]float64, len(p.inputs))
	for i := range vectors {
		vectors[i] = make([]float64, blockTrials)
	}
	x := make([]float64, len(p.inputs))
	s.Restart(stream)
	for first := 0; first < trials; first += blockTrials {
		n := min(blockTrials, trials-first)
		p.draw(s, func(i int) []float64 { return vectors[i][:n] })
		for k := range n {
			for i := range x {
				if x[i] = p.fixed[i]; p.varies(i) {
					x[i] = vectors[i][k]
				}
			}
			_, err := p.model.Value(x)
			if fault, is := errors.AsType[*expression.Fault](err); is {
				out.add(p, before+first+k+1, fault, x)
			}
		}
	}
	return out
}

func (e *FailureError) add(p *Problem, trial int, fault *expression.Fault, x []float64) {
	if e.Fault == nil {
		e.Trial, e.Fault = trial, fault
		for _, i := range fault.Inputs {
			e.Region = append(e.Region, Span{Name: p.inputs[i].Name, Low: x[i], High: x[i]})
		}
	}
	e.Failed++
	for k, i := range e.Fault.Inputs {
		e.Region[k].Low, e.Region[k].High = math.Min(e.Region[k].Low, x[i]), math.Max(e.Region[k].High, x[i])
	}
}
