package records

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// TestReference keeps the reference pages equal to the code; go generate writes
// them anew.
func TestReference(t *testing.T) {
	for file, want := range map[string]string{"REFERENCE.md": referencePage(), "DIAGNOSTICS.md": diagnosticsPage()} {
		if *update {
			if err := os.WriteFile(file, []byte(want), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		got, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != want {
			t.Errorf("%s is not what the code says: run go generate ./records", file)
		}
	}
}

func referencePage() string {
	var b strings.Builder
	b.WriteString("# Records\n\nEvery kind of record, where its files lie, and its keys. This page is written by `go generate ./records`.\n\n" +
		"Files are TOML 1.0 in UTF-8. Figures carry their unit, in quotes. Keys that are not needed may be left out.\n")
	for _, k := range Kinds() {
		fmt.Fprintf(&b, "\n## %s\n\n`%s`: %s.\n", k.Name, k.Files, k.Doc)
		referenceTable(&b, k.Keys, "")
		if k.Name == "event" {
			eventTable(&b)
		}
		if k.Name == "case" {
			stepTable(&b)
		}
	}
	sidecar := SidecarDoc()
	fmt.Fprintf(&b, "\n## %s\n\n`%s`: %s.\n", sidecar.Name, sidecar.Files, sidecar.Doc)
	referenceTable(&b, sidecar.Keys, "")
	b.WriteString("\n## Quantities\n\n| quantity | meaning |\n|---|---|\n")
	for _, q := range Quantities() {
		fmt.Fprintf(&b, "| %s | %s |\n", q.Name, q.Text)
	}
	return b.String()
}

// eventTable lists the keys of each kind of event.
func eventTable(b *strings.Builder) {
	b.WriteString("\n### Keys of each kind of event\n\n| kind | needs | may have |\n|---|---|---|\n")
	for _, kind := range EventKindNames() {
		rule := eventRules()[kind]
		fmt.Fprintf(b, "| %s | %s | %s |\n", kind, strings.Join(rule.needs, ", "), strings.Join(rule.may, ", "))
	}
}

// stepTable lists the keys of each step of a case.
func stepTable(b *strings.Builder) {
	b.WriteString("\n### Keys of each step\n\n| step | needs | may have |\n|---|---|---|\n")
	for _, kind := range StepKindNames() {
		needs, may := StepKeys(kind)
		fmt.Fprintf(b, "| %s | %s | %s |\n", kind, strings.Join(needs, ", "), strings.Join(may, ", "))
	}
}

// referenceTable lists the keys of a table and then the tables below it.
func referenceTable(b *strings.Builder, keys []KeyDoc, above string) {
	b.WriteString("\n| key | written as | needed | meaning |\n|---|---|---|---|\n")
	for _, k := range keys {
		needed := ""
		if k.Needed {
			needed = "yes"
		}
		fmt.Fprintf(b, "| `%s` | %s | %s | %s |\n", k.Name, cell(k.Form), needed, cell(k.Doc))
	}
	for _, k := range keys {
		if len(k.Keys) > 0 {
			fmt.Fprintf(b, "\n### %s`%s`\n\n%s.\n", above, k.Form, sentence(k.Doc))
			referenceTable(b, k.Keys, above)
		}
	}
}

func diagnosticsPage() string {
	var b strings.Builder
	b.WriteString("# Diagnostics\n\nEvery code that reading the records can give. What the site's settings say about rules, charts and policies is checked by " +
		"package rules, with codes of its own (unknown-rule, unknown-test …); `plumbrule explain diagnostics` lists both. " +
		"This page is written by `go generate ./records`.\n\n" +
		"An error leaves the record out, and what it is about cannot be judged until it is mended. A warning leaves the record in use.\n")
	for _, c := range Codes() {
		fmt.Fprintf(&b, "\n## %s\n\n%s (%s). %s\n\nMend: %s.\n", c.ID, sentence(c.Title), c.Severity, c.Meaning, c.Mend)
	}
	return b.String()
}

func cell(s string) string { return strings.ReplaceAll(s, "|", `\|`) }

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// TestKeysAreDocumented looks at every key of every kind.
func TestKeysAreDocumented(t *testing.T) {
	count := 0
	var look func(where string, keys []KeyDoc)
	look = func(where string, keys []KeyDoc) {
		seen := map[string]bool{}
		for _, k := range keys {
			count++
			name := where + "." + k.Name
			if k.Doc == "" || k.Form == "" || seen[k.Name] {
				t.Errorf("%s: doc %q, form %q, twice %v", name, k.Doc, k.Form, seen[k.Name])
			}
			if strings.HasSuffix(k.Doc, ".") || k.Doc == k.Name {
				t.Errorf("%s: %q says nothing, or ends with a full stop", name, k.Doc)
			}
			seen[k.Name] = true
			look(name, k.Keys)
		}
		if len(keys) > 64 {
			t.Errorf("%s: more keys than the reader keeps account of", where)
		}
	}
	for _, k := range append(Kinds(), SidecarDoc()) {
		if k.Doc == "" || k.Files == "" || len(k.Keys) == 0 {
			t.Errorf("kind %s is not documented", k.Name)
		}
		look(k.Name, k.Keys)
	}
	if count < 100 {
		t.Errorf("only %d keys", count)
	}
}
