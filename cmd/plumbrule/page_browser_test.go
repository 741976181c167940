package main

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
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

// browse runs Chromium without a window and returns what it printed and logged.
func browse(t *testing.T, arguments ...string) (printed, logged string) {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not installed")
	}
	ctx, cancel := context.WithTimeout(t.Context(), 60*time.Second)
	defer cancel()
	command := exec.CommandContext(ctx, program, append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
		"--user-data-dir=" + t.TempDir(), "--enable-logging=stderr",
	}, arguments...)...)
	command.Env = append(os.Environ(), "HOME="+t.TempDir())
	var out, told strings.Builder
	command.Stdout, command.Stderr = &out, &told
	if err := command.Run(); err != nil {
		t.Fatalf("chromium: %v\n%s", err, told.String())
	}
	return out.String(), told.String()
}
