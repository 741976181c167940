package conformity_test

import (
	"errors"
	"strings"
	"testing"

	"plumbrule/rules/conformity"
)

// What is remembered of the standards is marked so everywhere it is shown, and their symbols are shown nowhere: nobody read
// them for this program. The pair of tests of the trade has no source, and says so.
func TestProfilesSayWhereTheyComeFrom(t *testing.T) {
	seen, remembered := map[conformity.Profile]bool{}, 0
	for _, d := range conformity.Profiles() {
		if seen[d.Profile] || d.Title == "" || !strings.HasSuffix(d.Text, ".") || d.Quantity == "" || d.Sampling == "" || d.Source == "" {
			t.Errorf("%s stands twice or is not documented: %+v", d.Profile, d)
		}
		seen[d.Profile] = true
		standard := strings.Contains(d.Source, "ISO") || strings.Contains(d.Source, "VDI")
		if standard != d.Remembered || standard != strings.Contains(d.Origin(), "from memory") {
			t.Errorf("%s: source %q, from memory %v, shown as %q", d.Profile, d.Source, d.Remembered, d.Origin())
		}
		if !standard && d.Source != "common practice, no source" {
			t.Errorf("%s rests on %q", d.Profile, d.Source)
		}
		if d.Remembered {
			remembered++
		}
		for _, symbol := range []string{"P_", "PF", "PS", "SD", "D95", "E_", "Sph"} {
			if strings.Contains(d.Title+d.Text, symbol) {
				t.Errorf("%s prints the symbol %s", d.Profile, symbol)
			}
		}
	}
	if remembered != 8 || len(seen) != 10 {
		t.Errorf("%d profiles, %d from memory", len(seen), remembered)
	}
}

// Quantities, sides and least figures, from memory: ISO 10360-8 and -13 know the probing errors of size and form, over 25
// selected points or all, form also over 95 % of the points, and lengths probed uni- or bidirectionally; VDI/VDE 2634 permits
// 3 ‰ of the points to be cut. The last two are common practice, no source.
func TestProfileParameters(t *testing.T) {
	for _, c := range []struct {
		name     conformity.Profile
		quantity string
		oneSided bool
		probing  conformity.Probing
		path     bool
		sampling conformity.Sampling
		points   int
		cut      float64
		free     bool
	}{
		{"probing-size", "diameter", false, "", false, "all", 25, 0.003, true},
		{"probing-size-25", "diameter", false, "", false, "25 selected", 25, 0, true},
		{"probing-form", "form", true, "", false, "all", 25, 0.003, true},
		{"probing-form-25", "form", true, "", false, "25 selected", 25, 0, true},
		{"probing-form-95", "form", true, "", false, "95 %", 25, 0, true},
		{"sphere-distance", "distance", false, "unidirectional", false, "all", 25, 0.003, false},
		{"length-unidirectional", "distance", false, "unidirectional", false, "all", 25, 0, false},
		{"length-bidirectional", "length", false, "bidirectional", false, "all", 25, 0, false},
		{"one-volume-diameter", "diameter", false, "", false, "all", 100, 0, true},
		{"path-distance", "distance", false, "unidirectional", true, "all", 100, 0, false},
	} {
		d, err := conformity.ParseProfile(string(c.name))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if d.Quantity != c.quantity || d.OneSided != c.oneSided || d.Probing != c.probing || d.NeedsPath != c.path || d.Sampling != c.sampling ||
			d.LeastPoints != c.points || d.MostCut != c.cut || d.FreeRadius != c.free {
			t.Errorf("%s: %+v", c.name, d)
		}
		if a := d.Demands(); a.LeastPoints != c.points || a.Selected != (c.sampling == "25 selected") || a.CutLimited != (c.cut > 0) || a.MostCut != c.cut ||
			a.LeastCoverage != 0 || a.FreeRadius != c.free || !a.Asks() {
			t.Errorf("%s asks %+v", c.name, a)
		}
	}
}

func TestParseProfileGuesses(t *testing.T) {
	for name, mend := range map[string]string{"probing-sise": "probing-size?", "path-distanse": "path-distance?", "luck": ""} {
		_, err := conformity.ParseProfile(name)
		var fault *conformity.InputError
		if !errors.As(err, &fault) || !strings.HasSuffix(fault.Mend, mend) || mend == "" && fault.Mend != "" || !strings.Contains(fault.Expected, "length-bidirectional") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A pass in one quantity says nothing of another, and centres prove no length between opposite faces: practice and
// ISO 10360-8 (from memory).
func TestProfileContradicts(t *testing.T) {
	for _, c := range []struct{ profile, judged, embodied, want string }{
		{"probing-size", "diameter", "diameter", ""},
		{"probing-size", "", "", ""},
		{"probing-size", "distance", "distance", "test probing-size judges diameter, and the feature is judged for distance"},
		{"probing-form", "diameter", "diameter", "judges form"},
		{"length-bidirectional", "length", "length", ""},
		{"length-bidirectional", "length", "distance", "does not prove such a length"},
		{"length-bidirectional", "distance", "distance", "judges length"},
		{"length-unidirectional", "distance", "distance", ""},
	} {
		d, err := conformity.ParseProfile(c.profile)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Contradiction(c.judged, c.embodied); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s for %s of %s: %q, want %q", c.profile, c.judged, c.embodied, got, c.want)
		}
	}
}
