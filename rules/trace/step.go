package trace

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"plumbrule/rules"
)

// step returns the step about something, each once.
func (b *builder) step(kind Kind, about, name string) *Step {
	key := string(kind) + "\x00" + about
	i, found := b.index[key]
	if !found {
		i = len(b.chain.Steps)
		b.index[key] = i
		b.chain.Steps = append(b.chain.Steps, &Step{Kind: kind, Name: name})
	}
	return b.chain.Steps[i]
}

// rests puts a step below another, once.
func (b *builder) rests(above, below *Step) {
	i := slices.Index(b.chain.Steps, below)
	if !slices.Contains(above.Below, i) {
		above.Below = append(above.Below, i)
	}
}

// gap adds a gap to the step, once.
func (s *Step) gap(code, sentence string, sources ...rules.Source) {
	if slices.ContainsFunc(s.Gaps, func(g Gap) bool { return g.Code == code && g.Sentence == sentence }) {
		return
	}
	s.Gaps = append(s.Gaps, Gap{code, sentence, sources})
}

// sortGaps puts the gaps of each step in the order of the catalogue.
func (b *builder) sortGaps() {
	rank := map[string]int{}
	for i, c := range GapCodes() {
		rank[c.ID] = i
	}
	for _, s := range b.chain.Steps {
		slices.SortStableFunc(s.Gaps, func(a, b Gap) int { return cmp.Compare(rank[a.Code], rank[b.Code]) })
	}
}

// say adds what the records say of the step, once.
func (s *Step) say(format string, args ...any) {
	if text := fmt.Sprintf(format, args...); text != "" && !slices.Contains(s.Words, text) {
		s.Words = append(s.Words, text)
	}
}

// from adds the place of a record, once.
func (s *Step) from(source rules.Source) {
	if !slices.Contains(s.Sources, source) {
		s.Sources = append(s.Sources, source)
	}
}

// figure adds a figure to the step, once.
func (s *Step) figure(f Figure) {
	if !slices.ContainsFunc(s.Figures, func(o Figure) bool { return o.Source == f.Source && o.Of == f.Of && o.What == f.What }) {
		s.Figures = append(s.Figures, f)
	}
}

// unread adds a gap for each record of some kinds about a subject that cannot
// be used: nobody knows what it says.
func (b *builder) unread(s *Step, id string, kinds ...string) {
	for i := range b.set.Unreadable {
		u := &b.set.Unreadable[i]
		if u.Subject == id && slices.Contains(kinds, u.Kind) {
			s.gap("step-unreadable", fmt.Sprintf("%s cannot be used: %s", u.File, u.Message), rules.Source{File: u.File, Line: int(u.Position.Line)})
		}
	}
}

// listed joins what is there with commas.
func listed(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
}

// prefixed writes text after a word, or nothing where there is none.
func prefixed(word, text string) string {
	if text == "" {
		return ""
	}
	return word + " " + text
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
