package card

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"plumbrule/cmd/plumbrule/internal/browser"
)

// Each card of a sheet, drawn by Chromium at 150 points to the inch, is read by zbarimg: the code as it stands on paper, with
// everything around it.
func TestCardsOnASheetAreRead(t *testing.T) {
	chromium, err := browser.Installed()
	if err != nil {
		t.Skip(err)
	}
	reader, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Skip("zbarimg is not installed")
	}
	var cards []Card
	var want []string
	for _, id := range []string{"scan-01", "arm-01", strings.Repeat("a-long.ID_", 6) + "ends"} {
		c := scanner()
		c.Device, c.Record = id, "devices/"+id+".toml"
		cards, want = append(cards, c), append(want, c.Code())
	}
	var svg bytes.Buffer
	if err := Sheet(&svg, cards, DefaultSize()); err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	page, picture := filepath.Join(folder, "sheet.svg"), filepath.Join(folder, "sheet.png")
	if err := os.WriteFile(page, svg.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{
		"--headless", "--disable-gpu", "--hide-scrollbars", "--user-data-dir=" + filepath.Join(folder, "profile"),
		"--force-device-scale-factor=1.5625", "--window-size=800,600", "--screenshot=" + picture, "file://" + page,
	}
	if os.Geteuid() == 0 {
		args = slices.Insert(args, 0, "--no-sandbox")
	}
	if out, err := exec.CommandContext(t.Context(), chromium, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), reader, "-q", "--raw", picture).Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range want {
		if !strings.Contains(string(out), text) {
			t.Errorf("%q is not read", text)
		}
	}
}
