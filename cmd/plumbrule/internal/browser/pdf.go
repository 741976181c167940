// Package browser has Chromium print pages, where it is installed.
package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// ErrNone means that no Chromium is installed under a name it is known by.
var ErrNone = errors.New("no Chromium is installed under the name chromium or chromium-browser, expected one to print a PDF")

// patience is how long a page may take.
const patience = time.Minute

// Installed returns the path of Chromium, or [ErrNone].
func Installed() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", ErrNone
}

// PDF returns a page of HTML as Chromium prints it. The page may refer to nothing outside itself: Chromium gets no network
// and a folder of its own that is removed again. The bytes hold the time of printing, so that no two runs are alike.
func PDF(ctx context.Context, html string) ([]byte, error) {
	program, err := Installed()
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp("", "plumbrule-print-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder) //nolint:errcheck // what is left in a folder for temporary files goes with it
	page, out := filepath.Join(folder, "page.html"), filepath.Join(folder, "page.pdf")
	if err := os.WriteFile(page, []byte(html), 0o600); err != nil {
		return nil, err
	}
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	args := []string{
		"--headless", "--disable-gpu", "--disable-extensions", "--no-first-run", "--proxy-server=127.0.0.1:9", "--no-pdf-header-footer",
		"--user-data-dir=" + filepath.Join(folder, "profile"), "--print-to-pdf=" + out,
	}
	if os.Geteuid() == 0 {
		args = append(args, "--no-sandbox") // Chromium refuses to run for the administrator with it
	}
	var said bytes.Buffer
	command := exec.CommandContext(ctx, program, append(args, "file://"+page)...)
	command.Stderr = &said
	command.WaitDelay = 5 * time.Second
	running := command.Run()
	pdf, err := os.ReadFile(out)
	if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		return nil, fmt.Errorf("%s has printed no PDF (%s)", program, reason(running, said.String()))
	}
	return pdf, nil
}

func reason(err error, said string) string {
	lines := strings.Split(strings.TrimSpace(said), "\n")
	switch {
	case err != nil && lines[0] != "":
		return err.Error() + "; " + lines[len(lines)-1]
	case err != nil:
		return err.Error()
	}
	return "it says nothing"
}
