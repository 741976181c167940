package main

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"

	"plumbrule/records"
)

// Every key of a record stands in its template, so that a newcomer sees all there is without the reference.
func TestTemplatesShowEveryKey(t *testing.T) {
	files := map[string][]string{
		"site": {"plumbrule.toml"}, "device": {"templates/device.toml"}, "artifact": {"templates/artifact.toml"},
		"certificate": {"templates/certificate-of-artifact.toml", "templates/certificate-of-device.toml"},
		"procedure":   {"templates/procedure.toml"}, "check": {"templates/check.toml"}, "event": {"templates/event.toml"}, "job": {"templates/job.toml"}, "case": {"templates/case.toml"},
	}
	for _, kind := range records.Kinds() {
		var text strings.Builder
		for _, name := range files[kind.Name] {
			content, err := fs.ReadFile(template, "template/"+name)
			if err != nil {
				t.Fatal(err)
			}
			text.Write(content)
		}
		words := regexp.MustCompile(`[a-z0-9-]+`).FindAllString(text.String(), -1)
		for _, key := range keyList("", kind.Keys) {
			name := key.Name[strings.LastIndex(key.Name, ".")+1:]
			// The settings of charts are shown once, where they are most used.
			if kind.Name == "site" && strings.HasPrefix(key.Name, "chart.") {
				continue
			}
			if !slices.Contains(words, name) {
				t.Errorf("the template of %s does not show key %s", kind.Name, key.Name)
			}
		}
	}
}
