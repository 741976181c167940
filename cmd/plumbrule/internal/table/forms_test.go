package table_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/table"
)

func TestMarkdown(t *testing.T) {
	var out bytes.Buffer
	if err := readings().Markdown(&out); err != nil {
		t.Fatal(err)
	}
	golden(t, "readings.md", out.String())
}

func TestEscape(t *testing.T) {
	if got, want := table.Escape("a|b <i> \\ *x* _y_ [z](u) &lt; `c`"), "a\\|b \\<i> \\\\ \\*x\\* \\_y\\_ \\[z](u) \\&lt; \\`c\\`"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestCSVIsRaw(t *testing.T) {
	var out bytes.Buffer
	if err := readings().CSV(&out); err != nil {
		t.Fatal(err)
	}
	want := "feature,error_um,limit_um,points,verdict,remark\n" +
		"A,-0.4123,30,3,pass,\n" +
		"測定 A-C,-146.25,155,12,fail,\"the path travelled counts, 2.6 m, from the first measuring volume to the last one and no shorter\"\n" +
		"e\u0301talon,,,0,inconclusive,not measured | see \x1b[31mred\x1b[0m \u202eabc\n"
	if diff := cmp.Diff(want, out.String()); diff != "" {
		t.Error(diff)
	}
}

func TestColumnName(t *testing.T) {
	for want, c := range map[string]table.Column{
		"error_um":                {Title: "error", Unit: "µm"},
		"expanded_um":             {Title: "expanded", Unit: "μm"}, // the Greek letter
		"conformance_probability": {Title: "conformance probability"},
		"temperature_celsius":     {Title: "temperature", Unit: "°C"},
		"slope_um_per_m":          {Title: "slope", Unit: "µm/m"},
		"alpha_per_k":             {Title: "alpha", Unit: "1/K"},
		"mpe_um":                  {Title: "MPE ±", Unit: "µm"},
		"no":                      {Title: "no."},
	} {
		if got := c.Name(); got != want {
			t.Errorf("%s (%s): got %s, want %s", c.Title, c.Unit, got, want)
		}
	}
}

func TestJSONKeepsSigns(t *testing.T) {
	var out bytes.Buffer
	if err := table.JSON(&out, map[string]any{"text": "a < b & ±µ", "p": 1 - 2.866516e-7}); err != nil {
		t.Fatal(err)
	}
	if want := "{\n  \"p\": 0.9999997133484,\n  \"text\": \"a < b & ±µ\"\n}\n"; out.String() != want {
		t.Errorf("got %s, want %s", out.String(), want)
	}
}

func TestNumbersThatAreNone(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := table.Number("x", x); got != table.None() {
			t.Errorf("%g: got %+v", x, got)
		}
	}
}
