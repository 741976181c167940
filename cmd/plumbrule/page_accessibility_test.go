package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// checkers is the folder in which npm has installed the two programs below, that know nothing of this one.
func checkers(t *testing.T) string {
	t.Helper()
	folder := os.Getenv("PLUMBRULE_CHECKERS")
	if folder == "" {
		t.Skip("PLUMBRULE_CHECKERS names no folder with axe-core and html-validate, as npm installs them")
	}
	return folder
}

// everyPage serves what people look at: the status pages, a pack and a dossier of the example works. Each path is a page.
func everyPage(t *testing.T) (handler http.Handler, paths []string) {
	t.Helper()
	_, _, web := examplePage(t)
	untilShown(t, web)
	folder := t.TempDir()
	works := filepath.Join(folder, "works")
	if err := os.CopyFS(works, os.DirFS(exampleRecords(t))); err != nil {
		t.Fatal(err)
	}
	for _, line := range [][]string{
		{"init", "--quiet"},
		{"add", "."},
		{"-c", "user.name=jt", "-c", "user.email=jt@works.example", "commit", "--quiet", "--message", "start"},
		{"rm", "--quiet", "checks/scan-03/2026/2026-06-25T0735-bar-weekly.toml"}, // so that there is something rewritten to show
		{"-c", "user.name=jt", "-c", "user.email=jt@works.example", "commit", "--quiet", "--message", "tidy up"},
	} {
		if out, err := exec.CommandContext(t.Context(), "git", append([]string{"-C", works}, line...)...).CombinedOutput(); err != nil {
			t.Fatalf("git %s: %v\n%s", line, err, out)
		}
	}
	mux := http.NewServeMux()
	mux.Handle("/", web.Config.Handler)
	mux.HandleFunc("/events", func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }) // no more will come
	for name, words := range map[string][]string{"pack": {"audit", "--from", "2025-05-02"}, "dossier": {"dossier", "scan-03", "--from", "2026-05-02"}} {
		into := filepath.Join(folder, name)
		var out bytes.Buffer
		e := env{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &out, Now: time.Now, LookupEnv: os.LookupEnv, Dir: works}
		if status := run(t.Context(), e, append(words, "--into", into, "--at", "2026-11-02T07:00")); status != 0 {
			t.Fatalf("%s ends with %d\n%s", words, status, out.String())
		}
		mux.Handle("/"+name+"/", http.StripPrefix("/"+name, http.FileServerFS(os.DirFS(into))))
	}
	return mux, []string{"/", "/places", "/device/scan-02", "/device/caliper-02", "/due", "/alerts", "/records", "/pack/", "/dossier/"}
}

// inject answers with what a handler answers, without the content policy, and lets edit change the pages.
func inject(next http.Handler, edit func(page string) string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		answer := httptest.NewRecorder()
		r.Header.Del("Accept-Encoding") // what is packed cannot be edited
		r.Header.Del("If-None-Match")
		next.ServeHTTP(answer, r)
		body := answer.Body.String()
		if strings.HasPrefix(answer.Header().Get("Content-Type"), "text/html") {
			body = edit(regexp.MustCompile(`<meta http-equiv="Content-Security-Policy"[^>]*>`).ReplaceAllString(body, ""))
		}
		for name, values := range answer.Header() {
			if name != "Content-Security-Policy" && name != "Content-Length" {
				w.Header()[name] = values
			}
		}
		w.WriteHeader(answer.Code)
		_, _ = io.WriteString(w, body)
	})
}

// looked is the part of what axe-core answers that is looked at.
type looked struct {
	Violations []struct {
		ID, Impact, Help string
		Nodes            []struct {
			Target         []any
			FailureSummary string
		}
	}
	Passes []struct{ ID string }
}

// TestAccessibility has axe-core look at every page in Chromium: light, dark and narrow, by the rules of WCAG 2.2 to level AA and by those
// it calls best practice (headings, landmarks, scopes of tables, contrast).
func TestAccessibility(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join(checkers(t), "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	pages, paths := everyPage(t)
	mux := http.NewServeMux()
	mux.Handle("/", inject(pages, func(page string) string {
		return strings.Replace(page, "</body>", `<script src="/axe.js"></script><script>
addEventListener("load", () => axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], resultTypes: ["violations"]})
	.then(r => r, e => ({violations: [{id: "none", help: String(e)}], passes: []}))
	.then(r => { const out = document.createElement("pre"); out.id = "looked"; out.textContent = JSON.stringify(r); document.body.replaceChildren(out); }));
</script></body>`, 1)
	}))
	mux.HandleFunc("/axe.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		_, _ = w.Write(axe)
	})
	web := httptest.NewServer(mux)
	t.Cleanup(web.Close)
	result := regexp.MustCompile(`(?s)<pre id="looked">(.*?)</pre>`)
	for look, flags := range map[string][]string{
		"light":  {"--window-size=1280,1500"},
		"dark":   {"--window-size=1280,1500", "--blink-settings=preferredColorScheme=0"},
		"narrow": {"--window-size=390,1500"},
	} {
		for _, path := range paths {
			t.Run(look+path, func(t *testing.T) {
				page, log := browse(t, append(slices.Clone(flags), "--virtual-time-budget=60000", "--dump-dom", web.URL+path)...)
				found := result.FindStringSubmatch(page)
				if found == nil {
					t.Fatalf("axe-core says nothing\n%s", log)
				}
				var said looked
				if err := json.Unmarshal([]byte(html.UnescapeString(found[1])), &said); err != nil {
					t.Fatal(err)
				}
				for _, v := range said.Violations {
					for i, n := range v.Nodes {
						if i == 3 {
							t.Errorf("%s: and %d more", v.ID, len(v.Nodes)-i)
							break
						}
						t.Errorf("%s (%s): %s\n%v\n%s", v.ID, v.Impact, v.Help, n.Target, n.FailureSummary)
					}
				}
				for _, rule := range []string{"color-contrast", "heading-order", "document-title"} {
					if !slices.ContainsFunc(said.Passes, func(p struct{ ID string }) bool { return p.ID == rule }) {
						t.Errorf("%s has looked at nothing", rule)
					}
				}
			})
		}
	}
}

// TestPagesAreHTML has html-validate look at every page as it is sent.
func TestPagesAreHTML(t *testing.T) {
	program := filepath.Join(checkers(t), "node_modules", ".bin", "html-validate")
	pages, paths := everyPage(t)
	folder := t.TempDir()
	files := []string{}
	for i, path := range paths {
		answer := httptest.NewRecorder()
		pages.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, path, nil))
		if answer.Code != http.StatusOK {
			t.Fatalf("%s answers %d", path, answer.Code)
		}
		name := filepath.Join(folder, fmt.Sprintf("%d%s.html", i, strings.ReplaceAll(path, "/", "-")))
		if err := os.WriteFile(name, answer.Body.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
	}
	config := filepath.Join(folder, ".htmlvalidate.json")
	if err := os.WriteFile(config, []byte(`{"root": true, "extends": ["html-validate:recommended"], "rules": {
		"aria-label-misuse": ["error", {"allowAnyNamable": true}]
	}}`), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if said, err := exec.CommandContext(ctx, program, append([]string{"--config", config, "--formatter", "text"}, files...)...).CombinedOutput(); err != nil || len(said) > 0 {
		t.Errorf("html-validate: %v\n%.4000s", err, said)
	}
}
