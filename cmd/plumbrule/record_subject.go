package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"plumbrule/records"

	"plumbrule/records/spelling"
)

// subject returns the one device, artifact or job a record is about.
func (r *recording) subject(args []string, what string, candidates []string) (string, error) {
	if len(args) > 1 {
		return "", misused(fmt.Sprintf("%q is one word too many, expected one %s", args[1], what), "put a value with blanks in quotes")
	}
	given := ""
	if len(args) == 1 {
		given = args[0]
	}
	id, err := r.ask.or(given, what, candidates)
	if err != nil {
		return "", err
	}
	if len(candidates) > 0 && !slices.Contains(candidates, id) {
		return "", misused(fmt.Sprintf("there is no %s %q", what, id), nearOf(id, candidates))
	}
	return id, nil
}

// or returns what was given, or the answer to a question.
func (a *asker) or(given, what string, offered []string) (string, error) {
	if given != "" {
		return given, nil
	}
	text, err := a.line(what, offered)
	if err == errNobody { //nolint:errorlint // never wrapped
		return "", misused("no "+what+" named", "name it behind the verb")
	}
	return text, err
}

// proceduresOf lists the procedures the device is checked by.
func (r *recording) proceduresOf(device string) []string {
	var out []string
	if d := r.set.Devices[device]; d != nil {
		for i := range d.Checks {
			out = append(out, d.Checks[i].Procedure)
		}
	}
	return out
}

// artifactsOf lists the artifacts of the kind a procedure is written for.
func (r *recording) artifactsOf(p *records.Procedure) []string {
	var out []string
	for _, id := range sortedIDs(r.set.Artifacts) {
		if r.set.Artifacts[id].Kind == p.ArtifactKind {
			out = append(out, id)
		}
	}
	return out
}

func sortedIDs[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// nearOf suggests what was meant.
func nearOf(word string, candidates []string) string {
	if near := spelling.Nearest(word, candidates); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "known are " + either(candidates)
}
