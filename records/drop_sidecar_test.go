package records

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const fullSidecar = `device = "scan-01"
artifact = "bar-800"
procedure = "bar-weekly"
time = 2026-10-05T08:12:00+02:00
by = "mk"
unit = "mm"
scans = ["bar-1.ply", "bar-2.ply"]
paths = { "A-C" = "1.1 m" }

[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
`

func TestReadSidecar(t *testing.T) {
	s, list := ReadSidecar("inbox/bar.toml", []byte(fullSidecar))
	if len(list) > 0 {
		t.Fatal(list)
	}
	if s.Device != "scan-01" || s.Procedure != "bar-weekly" || s.By != "mk" || !s.Conditions.Stated || s.Path("A-C").Metres() != 1.1 {
		t.Errorf("%+v", s)
	}
	if diff := cmp.Diff([]string{"bar-1.ply", "bar-2.ply"}, s.Scans); diff != "" {
		t.Error(diff)
	}
}

// What is wrong is told with its place; the scans are known all the same.
func TestReadSidecarTellsWhere(t *testing.T) {
	for what, c := range map[string]struct{ text, want string }{
		"unknown key":  {strings.Replace(fullSidecar, "artifact =", "artefact =", 1), `inbox/bar.toml:2:1: error: key "artefact" is none of this table's`},
		"outside":      {strings.Replace(fullSidecar, `"bar-2.ply"`, `"../bar-2.ply"`, 1), `inbox/bar.toml:7:23: error: "../bar-2.ply" is no name of a file beside this one`},
		"in a folder":  {strings.Replace(fullSidecar, `"bar-2.ply"`, `"a/bar-2.ply"`, 1), `inbox/bar.toml:7:23: error: "a/bar-2.ply" is no name of a file beside this one`},
		"from root":    {strings.Replace(fullSidecar, `"bar-2.ply"`, `"/etc/bar"`, 1), `inbox/bar.toml:7:23: error: "/etc/bar" is no name of a file beside this one`},
		"twice":        {strings.Replace(fullSidecar, `"bar-2.ply"`, `"bar-1.ply"`, 1), `inbox/bar.toml:7:23: error: "bar-1.ply" is listed twice`},
		"both":         {fullSidecar + "[[reading]]\nfeature = \"A\"\nvalues = [30.0]\n", `inbox/bar.toml:7:9: error: scans are listed and readings are given`},
		"no unit":      {strings.Replace(fullSidecar, `"1.1 m"`, `"1.1"`, 1), `inbox/bar.toml:8:20: error: paths.A-C: "1.1" without a unit`},
		"local time":   {strings.Replace(fullSidecar, `+02:00`, ``, 1), `inbox/bar.toml:4:8: error: time is a date and time without offset`},
		"cut off":      {fullSidecar[:len(fullSidecar)-10], `inbox/bar.toml:12:`},
		"not readable": {"\xff\xfe", `inbox/bar.toml`},
	} {
		s, list := ReadSidecar("inbox/bar.toml", []byte(c.text))
		if !HasErrors(list) {
			t.Errorf("%s: nothing said", what)
			continue
		}
		if got := list[0].String(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %s\nwant %s", what, got, c.want)
		}
		if s == nil {
			t.Errorf("%s: nothing is known of it", what)
		}
	}
}

// The sidecar goes before the pattern, key by key.
func TestSidecarOrPattern(t *testing.T) {
	s := Sidecar{Device: "scan-01", Paths: []FeaturePath{{Feature: "A-C", Path: must(positiveLength("2 m"))}}}
	d := Drop{Device: "scan-02", Procedure: "bar-weekly", By: "rs", Paths: []FeaturePath{{Feature: "A-C", Path: must(positiveLength("1 m"))}, {Feature: "A-B", Path: must(positiveLength("0.5 m"))}}}
	got := s.Or(&d)
	if got.Device != "scan-01" || got.Procedure != "bar-weekly" || got.By != "rs" || got.Path("A-C").Metres() != 2 || got.Path("A-B").Metres() != 0.5 {
		t.Errorf("%+v", got)
	}
	if len(s.Paths) != 1 {
		t.Error("the sidecar itself was changed")
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
