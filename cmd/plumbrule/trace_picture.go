package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/tracedrawing"
	"plumbrule/rules/trace"
)

// picture is the chain to be drawn.
func (t *traced) picture() *tracedrawing.Picture {
	root := t.chain.Steps[0]
	out := &tracedrawing.Picture{Title: fmt.Sprintf("Chain of traceability: %s %s", root.Kind, root.Name), Sentences: []string{t.headline() + "."}}
	numbers := t.numbers()
	for i, s := range t.chain.Steps {
		step := tracedrawing.Step{Kind: tracedrawing.Kind(s.Kind), Name: s.Name, Words: s.Words, Below: s.Below}
		for _, f := range s.Figures {
			text := fmt.Sprintf("%s: %s %s", f.Of, f.What, figureValue(&f))
			if f.Verdict != "" && f.ValueUM.Value != nil {
				text += ", " + f.Verdict
			}
			step.Figures = append(step.Figures, tracedrawing.Figure{Text: text, Uncertainty: uncertaintyText(s, &f)})
		}
		for n, g := range s.Gaps {
			c, _ := trace.CodeOf(g.Code)
			step.Gaps = append(step.Gaps, tracedrawing.Gap{Number: numbers[i] + n, Words: fmt.Sprintf("%s (%s)", g.Sentence, c.Clause)})
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}
