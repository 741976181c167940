package main

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestPagePictures has Chromium draw the pages of the example into the folder that PLUMBRULE_PICTURES names, for people to look
// at: light, dark, narrow and as printed.
func TestPagePictures(t *testing.T) {
	folder := os.Getenv("PLUMBRULE_PICTURES")
	if folder == "" {
		t.Skip("PLUMBRULE_PICTURES names no folder")
	}
	_, _, web := examplePage(t)
	untilShown(t, web)
	for name, path := range map[string]string{
		"fleet": "/", "places": "/places", "device": "/device/scan-02", "due": "/due", "alerts": "/alerts", "records": "/records",
	} {
		for look, flags := range map[string][]string{
			"light":  {"--window-size=1280,1500"},
			"dark":   {"--window-size=1280,1500", "--blink-settings=preferredColorScheme=0"},
			"narrow": {"--window-size=360,1600"},
		} {
			browse(t, append(flags, "--hide-scrollbars", "--screenshot="+filepath.Join(folder, name+"-"+look+".png"), web.URL+path)...)
		}
		browse(t, "--no-pdf-header-footer", "--print-to-pdf="+filepath.Join(folder, name+".pdf"), web.URL+path)
	}
}

// TestPageInABrowser lets Chromium read the pages: it finds nothing that the content policy forbids, draws the charts, and replaces
// what the page says when another view is shown, by the page's own script alone.
func TestPageInABrowser(t *testing.T) {
	j, s, inner := examplePage(t)
	untilShown(t, inner)
	asked := make(chan string, 1000)
	web := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked <- r.URL.Path
		inner.Config.Handler.ServeHTTP(w, r)
	}))
	t.Cleanup(web.Close)
	for _, path := range []string{"/", "/due", "/alerts", "/records", "/device/scan-02", "/device/scan-02/chart/1.svg"} {
		page, log := browse(t, "--dump-dom", "--window-size=1280,6000", web.URL+path)
		if strings.Contains(log, "Content Security Policy") || strings.Contains(log, "Uncaught") {
			t.Errorf("%s: %s", path, log)
		}
		if !strings.Contains(page, "Propellerwerk") && !strings.Contains(page, "<svg") {
			t.Errorf("%s shows %q", path, page)
		}
	}

	// The first view knows no charts of the device; that those of the second are asked for shows that the page was replaced.
	without := *j
	assessment := *j.assessment
	assessment.Devices = slices.Clone(assessment.Devices)
	for i := range assessment.Devices {
		assessment.Devices[i].Charts = nil
	}
	without.assessment = &assessment
	s.Show(pageView(&without, nil, exampleHealth(j)))
	for range 500 {
		if !strings.Contains(body(t, inner.URL+"/device/scan-02"), "/chart/1.svg") {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	for len(asked) > 0 {
		<-asked
	}
	begin(t, "--remote-debugging-port=0", "--window-size=1280,3000", web.URL+"/device/scan-02")
	await(t, asked, "/events")
	s.Show(pageView(j, nil, exampleHealth(j)))
	await(t, asked, "/device/scan-02")
	await(t, asked, "/device/scan-02/chart/1.svg")
}

// await waits until a path is asked for.
func await(t *testing.T, asked <-chan string, path string) {
	t.Helper()
	limit := time.After(40 * time.Second)
	for {
		select {
		case got := <-asked:
			if got == path {
				return
			}
		case <-limit:
			t.Fatalf("%s is never asked for", path)
		}
	}
}

func body(t *testing.T, url string) string {
	t.Helper()
	answer, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// untilShown waits for the first view.
func untilShown(t *testing.T, web *httptest.Server) {
	t.Helper()
	for range 500 {
		answer, err := http.Get(web.URL + "/")
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode == http.StatusOK {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("the first view is never shown")
}

// browse runs Chromium without a window until a page is loaded, and returns what it printed and logged.
func browse(t *testing.T, arguments ...string) (printed, logged string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 60*time.Second)
	defer cancel()
	command := chromium(ctx, t, arguments...)
	var out, told strings.Builder
	command.Stdout, command.Stderr = &out, &told
	if err := command.Run(); err != nil {
		t.Fatalf("chromium: %v\n%s", err, told.String())
	}
	return out.String(), told.String()
}

// begin starts Chromium and leaves it open until the test ends.
func begin(t *testing.T, arguments ...string) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	command := chromium(ctx, t, arguments...)
	if err := command.Start(); err != nil {
		cancel()
		t.Fatal(err)
	}
	t.Cleanup(func() {
		cancel()
		_ = command.Wait()
	})
}

func chromium(ctx context.Context, t *testing.T, arguments ...string) *exec.Cmd {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed")
	}
	home, err := os.MkdirTemp("", "chromium") // not the test's own: its processes may write for a moment after they were ended
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(home) })
	command := exec.CommandContext(ctx, program, append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--user-data-dir=" + home, "--enable-logging=stderr",
	}, arguments...)...)
	command.Env = append(os.Environ(), "HOME="+home)
	command.WaitDelay = 5 * time.Second
	return command
}
