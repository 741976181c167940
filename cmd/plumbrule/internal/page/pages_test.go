package page

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"plumbrule/rules"
)

func pagePaths() []string {
	return []string{"/", "/places", "/kinds", "/due", "/alerts", "/records", "/device/scan-02", "/device/scan-03", "/device/arm-01"}
}

// Every page can be read by people with and without eyes: it has a language, a title, one first heading, no heading that skips a
// level, a way past the head, and tables whose headings say what they head (WCAG 2.2, 1.3.1, 2.4.1, 2.4.2, 3.1.1). Nothing in it
// needs what the content policy forbids.
func TestPagesAreWellMade(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for _, path := range pagePaths() {
		answer, page := get(t, web.URL+path)
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != "text/html; charset=utf-8" {
			t.Errorf("%s: %s, %s", path, answer.Status, answer.Header.Get("Content-Type"))
			continue
		}
		ids, counts, level, to := map[string]bool{}, map[string]int{}, 0, []string{}
		for _, e := range elements(t, page) {
			counts[e.name]++
			if id := e.attrs["id"]; id != "" {
				if ids[id] {
					t.Errorf("%s: id %q twice", path, id)
				}
				ids[id] = true
			}
			for name := range e.attrs {
				if name == "style" || strings.HasPrefix(name, "on") {
					t.Errorf("%s: <%s %s> is forbidden by the policy", path, e.name, name)
				}
			}
			switch e.name {
			case "html":
				if e.attrs["lang"] != "en" {
					t.Errorf("%s: no language", path)
				}
			case "title":
				if !strings.Contains(e.text, "Propellerwerk Quellmar") {
					t.Errorf("%s: title %q", path, e.text)
				}
			case "style":
				t.Errorf("%s: a style inside the page", path)
			case "script":
				if e.attrs["src"] != "/refresh.js" || strings.TrimSpace(e.text) != "" {
					t.Errorf("%s: script %v %q", path, e.attrs, e.text)
				}
			case "th":
				if e.attrs["scope"] == "" {
					t.Errorf("%s: heading of a table without scope", path)
				}
			case "img":
				if e.attrs["alt"] == "" {
					t.Errorf("%s: picture without text", path)
				}
			case "h1", "h2", "h3":
				now := int(e.name[1] - '0')
				if now > level+1 {
					t.Errorf("%s: %s after h%d", path, e.name, level)
				}
				level = now
			case "a":
				to = append(to, e.attrs["href"])
			}
			for _, name := range []string{"aria-labelledby"} {
				if id := e.attrs[name]; id != "" {
					to = append(to, "#"+id)
				}
			}
		}
		if counts["h1"] != 1 || counts["main"] != 1 || counts["title"] != 1 || len(to) == 0 || to[0] != "#main" {
			t.Errorf("%s: %v, first link %v", path, counts, to)
		}
		for _, address := range to {
			if id, inside := strings.CutPrefix(address, "#"); inside && !ids[id] {
				t.Errorf("%s: nothing has the id %q", path, id)
			}
		}
	}
}

// Every address that a page names answers, and every anchor of another page is there.
func TestNoLinkIsBroken(t *testing.T) {
	_, web, _ := serve(t, example(t))
	pages := map[string]string{}
	fetch := func(path string) string {
		if _, known := pages[path]; !known {
			answer, body := get(t, web.URL+path)
			if answer.StatusCode != http.StatusOK && !strings.Contains(path, "/chart/") { // the example's charts are drawn elsewhere
				t.Errorf("%s: %s", path, answer.Status)
			}
			pages[path] = body
		}
		return pages[path]
	}
	seen := 0
	for _, from := range pagePaths() {
		for _, e := range elements(t, fetch(from)) {
			for _, name := range []string{"href", "src"} {
				address := e.attrs[name]
				path, anchor, found := strings.Cut(address, "#")
				if !strings.HasPrefix(path, "/") {
					continue
				}
				seen++
				body := fetch(path)
				if found && !strings.Contains(body, ` id="`+anchor+`"`) {
					t.Errorf("%s leads to %s, which is not there", from, address)
				}
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d addresses", seen)
	}
}

// What the example's story tells (README of the example works) stands on the pages.
func TestPagesSayWhatIsKnown(t *testing.T) {
	_, web, _ := serve(t, example(t))
	for path, wanted := range map[string][]string{
		"/":               {"11 devices", "every quantity failed", "calibration overdue", "its calibration of 2024-10-14 ran out"},
		"/places":         {`id="place-hall-2-hub-stand"`, "1 limited"},
		"/kinds":          {`id="kind-handheld-scanner"`},
		"/due":            {"November 2026", "2026-11-03", "in 1 day", `href="#day-2026-11-03"`, "26 days ago"},
		"/alerts":         {"Not acknowledged", "arm-01", "devices/x.toml:3"},
		"/records":        {"every file can be read", "judged last", "2 taken in"},
		"/device/scan-03": {"May measure", "diameter", "distance", "µm/m", "326.0", `src="/device/scan-03/chart/1.svg"`, "the path travelled"},
	} {
		_, page := get(t, web.URL+path)
		for _, text := range wanted {
			if !strings.Contains(page, text) {
				t.Errorf("%s does not say %q", path, text)
			}
		}
	}
}

// The worst stand first.
func TestWorstFirst(t *testing.T) {
	_, web, _ := serve(t, example(t))
	_, page := get(t, web.URL+"/")
	last := 0
	for _, id := range []string{"unfit", "unknown", "limited", "fit"} {
		at := strings.Index(page, `<h2 id="`+id+`">`)
		if at <= last {
			t.Errorf("%s stands at %d, after %d", id, at, last)
		}
		last = at
	}
}

// What is retired is not done any more, and is not announced.
func TestNothingIsDueOfTheRetired(t *testing.T) {
	v := example(t)
	before := len(duties(v))
	a := *v.Assessment
	a.Devices, a.Artifacts = slices.Clone(a.Devices), slices.Clone(a.Artifacts)
	for i := range a.Devices {
		a.Devices[i].Service.State = rules.Retired
	}
	v.Assessment = &a
	devices := len(duties(v))
	for i := range a.Artifacts {
		a.Artifacts[i].Service = rules.Retired
	}
	if left := len(duties(v)); devices == 0 || devices >= before || left != 0 {
		t.Errorf("%d things due, %d without devices, %d without artifacts", before, devices, left)
	}
}
