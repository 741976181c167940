package main

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
)

// JSON.md lists the fields of every verb's JSON. It is made from the structs, so it cannot say anything else than the
// program; UPDATE_JSON=1 writes it anew. The fields are an interface: this test is where a renamed one is noticed.
func TestJSONReference(t *testing.T) {
	var page strings.Builder
	page.WriteString(`# The JSON of each verb

Made from the code by ` + "`UPDATE_JSON=1 go test ./cmd/plumbrule -run JSONReference`" + `. Fields are added, never renamed or removed. Units stand in
the names: _um is micrometres, _mm millimetres. A figure that does not exist is null, never 0 or NaN; where a reason is known it
stands beside it. Lists are never null. Figures are not rounded.
`)
	for _, v := range []struct {
		verb string
		json any
	}{
		{"status", statusJSON{}},
		{"due", dueListJSON{}},
		{"due --from", dueDatesJSON{}},
		{"choose", chooseJSON{}},
		{"plan", planJSON{}},
		{"impact", impactJSON{}},
		{"validate", validateJSON{}},
		{"record", recordJSON{}},
		{"card", cardsJSON{}},
		{"init", initJSON{}},
		{"explain DEVICE", explainJSON{}},
		{"explain CODE", topicJSON{}},
		{"trace", traceJSON{}},
		{"audit --gaps", gapsJSON{}},
		{"alerts", alertsJSON{}},
		{"watch --check", checkedJSON{}},
		{"audit --into", auditJSON{}},
		{"audit --gaps", gapsJSON{}},
		{"audit --against", againstJSON{}},
		{"history", historyJSON{}},
		{"history --staged", stagedJSON{}},
		{"diff", diffJSON{}},
		{"chart DEVICE", deviceChartsJSON{}},
		{"chart --csv", chartJSON{}},
		{"decide", decisionJSON{}},
		{"budget", budgetJSON{}},
		{"extract", extractJSON{}},
		{"run-length", runLengthJSON{}},
		{"repeatability", repeatabilityJSON{}},
		{"interval", reviewJSON{}},
		{"interval --passed", shareJSON{}},
		{"interval --outcomes", outcomesJSON{}},
		{"summary", summaryJSON{}},
		{"drift --csv", lineJSON{}},
		{"drift DEVICE", deviceDriftJSON{}},
		{"drift ARTIFACT", artifactDriftJSON{}},
		{"growth --csv", growthJSON{}},
		{"growth DEVICE", deviceGrowthJSON{}},
		{"route", routeJSON{}},
		{"selftest", selftestJSON{}},
		{"version", versionJSON{}},
	} {
		fmt.Fprintf(&page, "\n## %s\n\n| field | value |\n|---|---|\n", v.verb)
		listFields(&page, "", reflect.TypeOf(v.json))
	}
	const name = "JSON.md"
	if os.Getenv("UPDATE_JSON") != "" {
		if err := os.WriteFile(name, []byte(page.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if string(have) != page.String() {
		t.Error("JSON.md is not what the code says")
	}
}

func listFields(page *strings.Builder, prefix string, of reflect.Type) {
	for f := range of.Fields() {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" {
			listFields(page, prefix, f.Type)
			continue
		}
		at, null := f.Type, ""
		if at.Kind() == reflect.Pointer {
			at, null = at.Elem(), " or null"
		}
		path := prefix + name
		switch at.Kind() {
		case reflect.Slice:
			if at.Elem().Kind() == reflect.Struct {
				fmt.Fprintf(page, "| `%s[]` | list |\n", path)
				listFields(page, path+"[].", at.Elem())
				continue
			}
			fmt.Fprintf(page, "| `%s[]` | list of %s |\n", path, kindWord(at.Elem()))
		case reflect.Struct:
			fmt.Fprintf(page, "| `%s` | object%s |\n", path, null)
			listFields(page, path+".", at)
		default:
			fmt.Fprintf(page, "| `%s` | %s%s |\n", path, kindWord(at), null)
		}
	}
}

func kindWord(of reflect.Type) string {
	switch of.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "number"
	case reflect.Map:
		return "object of texts"
	case reflect.Int, reflect.Uint32, reflect.Int64:
		return "whole number"
	default:
		return of.Kind().String()
	}
}
