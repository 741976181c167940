package main

import (
	"errors"
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
)

// question is what a record needs: from a flag, or asked at a terminal.
type question struct {
	flag    string   // without dashes
	given   string   // what the flag says; empty: nothing
	text    string   // what to ask
	offered []string // answers to choose from; a single one is taken by an empty line
}

// answered reads what a record needs. A mistake in a flag ends the verb; one in an answer is told, and the question asked
// again, so that a slip does not lose the answers before it.
func answered[T any](r *recording, q question, parse func(string) (T, error)) (T, error) {
	var zero T
	if q.given != "" {
		v, err := parse(q.given)
		if err != nil {
			return zero, spoken("--"+q.flag, err)
		}
		return v, nil
	}
	for {
		text, err := r.ask.line(q.text, q.offered)
		if errors.Is(err, errNobody) {
			mend := "add --" + q.flag
			if len(q.offered) > 0 {
				mend += " with " + either(q.offered)
			}
			return zero, misused("--"+q.flag+" is missing, expected "+q.text, mend)
		}
		if err != nil {
			return zero, err
		}
		v, err := parse(text)
		if err == nil {
			return v, nil
		}
		what, mend := mistake(err)
		if err := r.ask.tell(what, mend); err != nil {
			return zero, err
		}
	}
}

// anyText takes every text.
func anyText(text string) (string, error) { return text, nil }

// oneOfIDs takes the ids that exist.
func oneOfIDs(what string, ids []string) func(string) (string, error) {
	return func(text string) (string, error) {
		for _, id := range ids {
			if id == text {
				return id, nil
			}
		}
		return "", &failure{status: statusUsage, what: fmt.Sprintf("there is no %s %q", what, text), mend: nearOf(text, ids)}
	}
}

// tell says what was wrong with an answer.
func (a *asker) tell(what, mend string) error {
	if mend != "" {
		what += "; " + mend
	}
	_, err := fmt.Fprintf(a.out, "  %s\n", show.Text(what))
	return err
}
