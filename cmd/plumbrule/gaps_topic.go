package main

import "plumbrule/rules/audit"

// findingTopic explains something that an auditor would find.
func findingTopic(name string) (topicJSON, bool) {
	c, found := audit.CodeOf(name)
	source := clausesText(c.Clauses)
	if c.Source != "" {
		source += "; " + c.Source
	}
	return topicJSON{Name: name, Kind: "finding of an audit", Title: c.Title, Meaning: c.Meaning, Mend: c.Mend, Source: source}, found
}
