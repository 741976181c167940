package main

import (
	_ "embed"
	html "html/template"
	"io"
	"strings"

	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

//go:embed selftest.html
var selftestPage string

// selftestView is what the page shows.
type selftestView struct {
	Passed                    bool
	Verdict, Program          string
	Version                   versionJSON
	SHA256, WhyNone           string
	Parts                     []selftest.Count
	Bare                      []string
	Seen                      any
	Groups                    []groupView
	CheckValues, Publications int
}

// groupView is a table of the page. Head is set for the first of a part.
type groupView struct {
	Part, About string
	Group       published.Group
	Rows        []rowView
	Reasons     []string
}

type rowView struct {
	Of, Published, Computed, Difference, Tolerance, Result string
	Agrees                                                 bool
}

// page writes the result as HTML that needs no other file.
func (t *selftested) page(w io.Writer) error {
	v := selftestView{
		Passed: selftest.Passed(t.results), Verdict: t.verdict(), Program: t.programLine(), Version: t.program, SHA256: t.sha256, WhyNone: t.whyNone,
		Bare: t.bare(), Seen: published.SeenTexts(), CheckValues: len(t.results),
	}
	about := map[string]string{}
	for _, c := range selftest.Counts(t.results) {
		if about[c.Name] = c.About; c.Figures > 0 {
			v.Parts = append(v.Parts, c)
		}
	}
	sources, part := map[string]bool{}, ""
	for _, group := range t.grouped() {
		g := groupView{Group: group[0].Group}
		if g.Group.Part != part {
			part = g.Group.Part
			g.Part, g.About = part, about[part]
		}
		sources[g.Group.Publication] = true
		s := groupSection(group)
		g.Reasons = s.Below
		for _, r := range group {
			row := rowView{Of: r.Value.Input, Published: r.Value.Printed, Computed: r.Computed, Difference: differenceOf(r), Result: outcome(r), Agrees: r.Agrees}
			if !g.Group.Words {
				row.Tolerance = brief(r.Value.Tolerance)
			}
			g.Rows = append(g.Rows, row)
		}
		v.Groups = append(v.Groups, g)
	}
	v.Publications = len(sources)
	page, err := html.New("selftest").Funcs(html.FuncMap{"minus": minus}).Parse(selftestPage)
	if err != nil {
		return err
	}
	return page.Execute(w, v)
}

// minus writes figures with the sign that type has for them.
func minus(text string) string {
	if strings.HasPrefix(text, "-") {
		return "−" + text[1:]
	}
	return text
}
