package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// errNobody means that there is nobody to ask: the program does not run at a terminal.
var errNobody = errors.New("nobody to ask")

// asker asks questions at a terminal, on Stderr, so that what the verb prints stays clean.
type asker struct {
	in  *bufio.Scanner
	out io.Writer
}

// newAsker returns an asker, or one that always answers errNobody.
func newAsker(e *env) *asker {
	if !e.Interactive {
		return &asker{}
	}
	return &asker{in: bufio.NewScanner(e.Stdin), out: e.Stderr}
}

// line asks until something is answered. When only one answer is offered, an empty line takes it.
func (a *asker) line(question string, offered []string) (string, error) {
	text, err := a.optional(question, offered)
	for err == nil && text == "" {
		if len(offered) == 1 {
			return offered[0], nil
		}
		text, err = a.optional(question, offered)
	}
	return text, err
}

// optional asks once; an empty line is an answer.
func (a *asker) optional(question string, offered []string) (string, error) {
	if a.in == nil {
		return "", errNobody
	}
	prompt := question
	switch {
	case len(offered) == 1:
		prompt += fmt.Sprintf(" [%s]", offered[0])
	case len(offered) > 1:
		prompt += " (" + strings.Join(offered, ", ") + ")"
	}
	if _, err := fmt.Fprintf(a.out, "%s: ", show.Text(prompt)); err != nil {
		return "", err
	}
	if !a.in.Scan() {
		if err := a.in.Err(); err != nil {
			return "", err
		}
		return "", misused("the input ended before all was answered", "nothing was written")
	}
	return strings.TrimSpace(a.in.Text()), nil
}
