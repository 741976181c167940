package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/audit"
	"plumbrule/rules/chart"
	"plumbrule/rules/conformity"
	"plumbrule/rules/sphere"
	"plumbrule/rules/trace"

	"plumbrule/records/spelling"
)

// topicJSON is the JSON of an explained code.
type topicJSON struct {
	Name    string     `json:"name"`
	Kind    string     `json:"kind"`
	Title   string     `json:"title"`
	Meaning string     `json:"meaning"`
	Mend    string     `json:"mend"`
	Effect  string     `json:"effect"`
	Allowed []string   `json:"allowed_effects"`
	Source  string     `json:"source"`
	Keys    []keyJSON  `json:"keys"`
	List    []nameJSON `json:"list"`
}

type nameJSON struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

type keyJSON struct {
	Name   string `json:"name"`
	Needed bool   `json:"needed"`
	Form   string `json:"form"`
	Doc    string `json:"doc"`
}

// explainTopic explains a code, a rule, a test, a kind of record, or lists one of these.
func explainTopic(name string) (answer, bool) {
	for _, find := range []func(string) (topicJSON, bool){listTopic, reasonTopic, gapTopic, findingTopic, diagnosticTopic, ruleTopic, profileTopic, scanTopic, testTopic, chartTopic, kindTopic} {
		if t, found := find(name); found {
			return t.answer(), true
		}
	}
	return answer{}, false
}

func listTopic(name string) (topicJSON, bool) {
	t := topicJSON{Name: name, Kind: "list"}
	add := func(name, title string) { t.List = append(t.List, nameJSON{name, title}) }
	switch name {
	case "reasons":
		for _, c := range rules.ReasonCodes() {
			add(c.ID, fmt.Sprintf("%s (%s)", c.Title, c.Effect))
		}
	case "gaps":
		for _, c := range trace.GapCodes() {
			add(c.ID, c.Title)
		}
	case "findings":
		for _, c := range audit.Codes() {
			add(c.ID, c.Title)
		}
	case "diagnostics":
		for _, c := range allDiagnostics() {
			add(c.ID, fmt.Sprintf("%s (%s)", c.Title, c.Severity))
		}
	case "rules":
		for _, r := range conformity.Rules() {
			add(string(r.Rule), r.Title)
		}
	case "profiles":
		for _, d := range conformity.Profiles() {
			add(string(d.Profile), fmt.Sprintf("%s. %s", d.Title, d.Origin()))
		}
	case "outliers":
		for _, r := range sphere.OutlierRules() {
			add(string(r.Name), r.Text)
		}
	case "scan-warnings":
		for _, w := range sphere.WarningCodes() {
			add(w.Code, w.Text)
		}
	case "tests":
		for _, d := range chart.TestDocs() {
			add(string(d.Test), d.Text)
		}
	case "charts":
		for _, d := range kindDocs() {
			add(string(d.kind), d.title+". "+d.choose)
		}
	case "records":
		for _, k := range records.Kinds() {
			add(k.Name, k.Doc+"; "+k.Files)
		}
	case "quantities":
		for _, q := range records.Quantities() {
			add(string(q.Name), q.Text)
		}
	default:
		return t, false
	}
	return t, true
}

// scanTopic explains a rule for outliers, or a warning about the spheres of a scan.
func scanTopic(name string) (topicJSON, bool) {
	for _, r := range sphere.OutlierRules() {
		if string(r.Name) == name {
			return topicJSON{
				Name: name, Kind: "rule for outliers", Title: r.Text,
				Meaning: fmt.Sprintf("Points farther than %d robust standard deviations (1.4826 times the median deviation) from the sphere, strays far from all others "+
					"and places where something touches the sphere are never taken for its surface, whatever the rule. After a cut, the uncertainty is formed with s "+
					"widened by what a cut takes off Gaussian deviations, and with a third of what the cut has moved, for strays left inside.", sphere.GateFactor),
				Source: "our own definition; the share cut is reported, and more than 1 % is a finding in itself (common practice, no source)",
			}, true
		}
	}
	for _, w := range sphere.WarningCodes() {
		if w.Code == name {
			return topicJSON{Name: name, Kind: "warning about a scan", Title: w.Text, Meaning: "extract prints it with its figures; record check keeps it in the record as a remark of the fit."}, true
		}
	}
	return topicJSON{}, false
}

func allDiagnostics() []records.Code {
	list := append(records.Codes(), rules.Codes()...)
	slices.SortFunc(list, func(a, b records.Code) int { return strings.Compare(a.ID, b.ID) })
	return list
}

// gapTopic explains a gap in a chain of traceability.
func gapTopic(name string) (topicJSON, bool) {
	c, found := trace.CodeOf(name)
	return topicJSON{Name: name, Kind: "gap in a chain", Title: c.Title, Meaning: c.Meaning, Mend: c.Mend, Source: c.Clause}, found
}

func reasonTopic(name string) (topicJSON, bool) {
	for _, c := range rules.ReasonCodes() {
		if c.ID == name {
			t := topicJSON{Name: name, Kind: "reason", Title: c.Title, Meaning: c.Meaning, Mend: c.Mend, Effect: string(c.Effect), Source: c.Source}
			for _, f := range c.Allowed {
				t.Allowed = append(t.Allowed, string(f))
			}
			return t, true
		}
	}
	return topicJSON{}, false
}

func diagnosticTopic(name string) (topicJSON, bool) {
	for _, c := range allDiagnostics() {
		if c.ID == name {
			return topicJSON{Name: name, Kind: "diagnostic, " + c.Severity.String(), Title: c.Title, Meaning: c.Meaning, Mend: c.Mend}, true
		}
	}
	return topicJSON{}, false
}

func ruleTopic(name string) (topicJSON, bool) {
	for _, r := range conformity.Rules() {
		if string(r.Rule) == name {
			return topicJSON{Name: name, Kind: "decision rule", Title: r.Title, Meaning: r.Text, Source: r.Source}, true
		}
	}
	return topicJSON{}, false
}

func testTopic(name string) (topicJSON, bool) {
	if sum := chart.Test(name); sum == chart.HighSum || sum == chart.LowSum {
		side, sign := "upper", "above"
		if sum == chart.LowSum {
			side, sign = "lower", "below"
		}
		return topicJSON{
			Name: name, Kind: "signal of a cusum chart", Title: "the " + side + " sum of a cusum is beyond its decision value",
			Meaning: "Each check adds what its error lies further than the reference value " + sign + " the centre; the sum never falls under 0. " +
				"The points named are those since it last left 0: the first of them is the likely onset of the shift.",
			Mend:   "look for what changed at the onset; \"plumbrule chart DEVICE\" draws the sums",
			Source: "NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3",
		}, true
	}
	for _, d := range chart.TestDocs() {
		if string(d.Test) == name {
			t := topicJSON{Name: name, Kind: "run test", Title: d.Text, Source: "Nelson 1984, J. Quality Technology 16, 237-239 (lengths from memory)"}
			if d.Length > 0 {
				t.Meaning = fmt.Sprintf("The length of its run is a setting: %q in [chart] tests applies it with another length.", name+" 7")
			}
			return t, true
		}
	}
	return topicJSON{}, false
}

func kindTopic(name string) (topicJSON, bool) {
	for _, k := range append(records.Kinds(), records.SidecarDoc()) {
		if k.Name == name {
			return topicJSON{Name: name, Kind: "record", Title: k.Files, Meaning: k.Doc, Keys: keyList("", k.Keys)}, true
		}
	}
	return topicJSON{}, false
}

// keyList flattens the keys of a record; those of a table carry its name.
func keyList(prefix string, keys []records.KeyDoc) []keyJSON {
	var out []keyJSON
	for _, k := range keys {
		out = append(out, keyJSON{prefix + k.Name, k.Needed, k.Form, k.Doc})
		out = append(out, keyList(prefix+k.Name+".", k.Keys)...)
	}
	return out
}

// answer prints the topic: sentences, and a table of keys or names.
func (t topicJSON) answer() answer {
	t.Allowed = notNull(t.Allowed)
	t.Keys, t.List = notNull(t.Keys), notNull(t.List)
	a := answer{JSON: t}
	say := func(label, text string) {
		if text != "" {
			a.Above = append(a.Above, label+text)
		}
	}
	if t.Kind != "list" {
		say("", fmt.Sprintf("%s (%s): %s", t.Name, t.Kind, t.Title))
	}
	say("", t.Meaning)
	if t.Effect != "" {
		choice := "; the site cannot choose another"
		if len(t.Allowed) > 0 {
			choice = "; the site may choose " + either(t.Allowed) + " in [fitness]"
		}
		say("effect: ", t.Effect+choice)
	}
	say("mend: ", t.Mend)
	say("source: ", t.Source)
	switch {
	case len(t.Keys) > 0:
		a.Page = &page{}
		a.CSV = table.Table{Columns: []table.Column{{Title: "key"}, {Title: "needed"}, {Title: "written"}, {Title: "meaning"}}}
		a.Page.head("Keys")
		for _, k := range t.Keys {
			needed := ""
			if k.Needed {
				needed = "needed"
			}
			a.Page.item("%s%s: %s", k.Name, strings.Replace(needed, "needed", " (needed)", 1), k.Doc)
			a.Page.sub("%s", k.Form)
			a.CSV.Add(table.Text(k.Name), table.Text(needed), table.Text(k.Form), table.Text(k.Doc))
		}
	case len(t.List) > 0:
		a.Table = table.Table{Columns: []table.Column{{Title: "name"}, {Title: "meaning", Wrap: true}}}
		for _, n := range t.List {
			a.Table.Add(table.Text(n.Name), table.Text(n.Title))
		}
		a.CSV = a.Table
	default:
		a.CSV = table.Table{Columns: []table.Column{{Title: "name"}, {Title: "kind"}, {Title: "title"}, {Title: "meaning"}, {Title: "mend"}, {Title: "source"}}}
		a.CSV.Add(table.Text(t.Name), table.Text(t.Kind), table.Text(t.Title), table.Text(t.Meaning), table.Text(t.Mend), table.Text(t.Source))
	}
	return a
}

// notNull makes a list that JSON writes as [].
func notNull[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// nearTopic suggests what was meant.
func nearTopic(name string, devices ...string) string {
	names := append([]string{"reasons", "gaps", "diagnostics", "rules", "profiles", "tests", "charts", "records", "quantities"}, devices...)
	for _, d := range conformity.Profiles() {
		names = append(names, string(d.Profile))
	}
	for _, c := range rules.ReasonCodes() {
		names = append(names, c.ID)
	}
	for _, c := range trace.GapCodes() {
		names = append(names, c.ID)
	}
	for _, c := range allDiagnostics() {
		names = append(names, c.ID)
	}
	names = append(names, kindNames(chart.Kinds())...)
	if near := spelling.Nearest(name, names); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return `"plumbrule explain reasons" and "plumbrule explain diagnostics" list the codes`
}
