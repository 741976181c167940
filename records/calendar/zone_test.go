package calendar

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"plumbrule/records/quantity"
)

// asChild marks the run of this test program that has the lying environment.
const asChild = "PLUMBRULE_TEST_LYING_ZONEINFO"

// Package time reads ZONEINFO once, at its first look-up, so a second run of
// this program with the variable set from the start is what can tell.
func TestZoneDoesNotLookAtTheMachine(t *testing.T) {
	if os.Getenv(asChild) != "" {
		zone := mustZone(t, "Europe/Berlin")
		if got := time.Date(2026, 7, 1, 12, 0, 0, 0, zone).Format(time.RFC3339); got != "2026-07-01T12:00:00+02:00" {
			t.Errorf("ZONEINFO=%s: %s", os.Getenv("ZONEINFO"), got)
		}
		if zone.String() != "Europe/Berlin" {
			t.Errorf("the zone is called %q", zone)
		}
		return
	}
	for _, directory := range []string{berlinLikeTokyo(t), "/nowhere", "rubbish"} {
		child := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestZoneDoesNotLookAtTheMachine$", "-test.v")
		child.Env = append(os.Environ(), asChild+"=1", "ZONEINFO="+directory)
		if output, err := child.CombinedOutput(); err != nil || !bytes.Contains(output, []byte("--- PASS")) {
			t.Errorf("%v\n%s", err, output)
		}
	}
}

// berlinLikeTokyo makes a zone directory in which Berlin keeps Tokyo's time.
func berlinLikeTokyo(t *testing.T) string {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(zoneinfo), int64(len(zoneinfo)))
	if err != nil {
		t.Fatal(err)
	}
	tokyo, err := fs.ReadFile(archive, "Asia/Tokyo")
	if err != nil {
		t.Fatal(err)
	}
	directory := t.TempDir()
	if err := os.Mkdir(filepath.Join(directory, "Europe"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(directory, "Europe", "Berlin"), tokyo, 0o600); err != nil {
		t.Fatal(err)
	}
	return directory
}

func TestZoneRefuses(t *testing.T) {
	for _, c := range []struct{ name, mend string }{
		{"Europe/Berln", `write "Europe/Berlin"`},
		{"europe/berlin", `write "Europe/Berlin"`},
		{"America/New York", `write "America/New_York"`},
		{"Berlin", `write "Europe/Berlin"`},
		{"Germany/Berlin", `write "Europe/Berlin"`},
		{"Europe", `write the region and the city, for example "Europe/Berlin"`},
		{"Europe/", `write the region and the city, for example "Europe/Berlin"`},
		{"Local", `write the region and the city, for example "Europe/Berlin"`},
		{"", `write the region and the city, for example "Europe/Berlin"`},
		{"../etc/passwd", `write the region and the city, for example "Europe/Berlin"`},
	} {
		zone, err := Zone(c.name)
		var e *quantity.Error
		if zone != nil || !errors.As(err, &e) {
			t.Errorf("%q: %v, %v", c.name, zone, err)
			continue
		}
		if e.Mend != c.mend || e.Text != c.name || e.Start != 0 || e.End != len(c.name) {
			t.Errorf("%q: %+v, want mend %s", c.name, e, c.mend)
		}
	}
}

func TestEveryZoneLoads(t *testing.T) {
	archive, err := zip.NewReader(bytes.NewReader(zoneinfo), int64(len(zoneinfo)))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range archive.File {
		if _, err := load(file); err != nil {
			t.Errorf("%s: %v", file.Name, err)
		}
	}
}

// The edition is not written inside the database, so the two are held
// together by the digest.
func TestZoneEditionBelongsToTheDatabase(t *testing.T) {
	sum := sha256.Sum256(zoneinfo)
	if got := hex.EncodeToString(sum[:]); got != zoneDigest {
		t.Errorf("zoneinfo.zip is %s: set zoneDigest and zoneEdition anew", got)
	}
	if ZoneEdition() != zoneEdition || len(zoneEdition) != len("2025c") {
		t.Errorf("edition %q", ZoneEdition())
	}
	mustZone(t, "America/Coyhaique") // new in 2025b
}

func BenchmarkZone(b *testing.B) {
	for b.Loop() {
		mustZone(b, "Europe/Berlin")
	}
}
