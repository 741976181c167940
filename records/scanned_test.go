package records

import (
	"strings"
	"testing"
	"testing/fstest"
)

// scannedCheck is the good repository's check, made from scans.
const scannedCheck = `device = "scan-02"
artifact = "bar-3s"
procedure = "bar-weekly"
time = 2026-10-05T08:12:00+02:00
entered = 2026-10-05T08:20:00+02:00
by = "mk"
unit = "mm"

[conditions]
artifact-temperature = "21.4 °C"
temperature-uncertainty = "0.3 °C (k = 2)"
dulling-spray = "8 µm"

[[reading]]
feature = "A"
values = [29.9984, 30.0011]
position = "near"

[[reading]]
feature = "A-C"
values = [800.031, 800.027, 800.030]
path = "2.6 m"

[[reading]]
feature = "A"
values = [29.9990]
position = "far"

[[scan]]
file = "scans/1.ply"
sha256 = "0000000000000000000000000000000000000000000000000000000000000001"
size = 1234567
unit = "mm"

[[scan]]
file = "scans/2.ply"
sha256 = "0000000000000000000000000000000000000000000000000000000000000002"
unit = "m"

[[scan]]
file = "scans/3.ply"
sha256 = "0000000000000000000000000000000000000000000000000000000000000003"
unit = "mm"

[extraction]
program = "plumbrule 0.4.0"
outliers = "3s"
radius = "free"
`

// fitTables are the fits of scannedCheck: those of A and A-C in every scan, and
// that of C, which was not read but ends the distance, in the first.
func fitTables() string {
	var b strings.Builder
	for _, scan := range []string{"1", "2", "3"} {
		b.WriteString("\n[[fit]]\nfeature = \"A\"\nscan = " + scan + "\nuncertainty = \"u = 0.4" + scan + " µm\"\npoints = 2431\nrejected = 6\n" +
			"coverage = \"46 %\"\nhalf-angle = \"85°\"\nform = \"31.0 µm\"\nsd = \"9.1 µm\"\nremarks = [\"an uneven density\"]\n")
		b.WriteString("\n[[fit]]\nfeature = \"A-C\"\nscan = " + scan + "\nuncertainty = \"u = 0.6 µm\"\n")
	}
	b.WriteString("\n[[fit]]\nfeature = \"C\"\nscan = 1\nuncertainty = \"u = 0.5 µm\"\npoints = 2000\n")
	return b.String()
}

func scannedFiles(t *testing.T) fstest.MapFS {
	t.Helper()
	files := goodFiles(t)
	files[checkFile] = &fstest.MapFile{Data: []byte(scannedCheck + fitTables())}
	return files
}

// A check from scans is in order although none of its scans is there.
func TestCheckFromScans(t *testing.T) {
	set, found := Load(scannedFiles(t), Options{At: evaluated, CrossCheck: true, Attachments: true})
	if len(found) > 0 {
		t.Fatal(printed(found))
	}
	k := set.Checks["scan-02"][0]
	if len(k.Scans) != 3 || len(k.Fits) != 7 || k.Extraction == nil || k.Extraction.Program != "plumbrule 0.4.0" {
		t.Fatalf("%d scans, %d fits, extraction %+v", len(k.Scans), len(k.Fits), k.Extraction)
	}
	// Scan i gave value i of a feature, over both its readings.
	for _, c := range []struct {
		reading, value int
		want           string
	}{{0, 0, "u = 0.41 µm"}, {0, 1, "u = 0.42 µm"}, {2, 0, "u = 0.43 µm"}, {1, 2, "u = 0.6 µm"}} {
		f := k.FitOf(&k.Readings[c.reading], c.value)
		if f == nil || f.Uncertainty.String() != c.want {
			t.Errorf("value %d of reading %d: %+v, want %s", c.value, c.reading, f, c.want)
		}
	}
	if f := k.FitOf(&k.Readings[2], 1); f != nil {
		t.Errorf("a value that is not there has the fit %+v", f)
	}
	f := k.FitIn("A", 2)
	if f.Points != 2431 || f.Rejected != 6 || f.Coverage.Fraction() != 0.46 || f.HalfAngle.Degrees() != 85 || f.Form.Micrometres() != 31 ||
		f.SD.Micrometres() != 9.1 || len(f.Remarks) != 1 || f.Share() != 6.0/2437 {
		t.Errorf("%+v", f)
	}
	if k.FitIn("C", 2) != nil || k.FitIn("C", 1).Share() != 0 {
		t.Error("C was fitted in the first scan alone, and nothing of it was cut")
	}
	if k.Conditions.DullingSpray.Micrometres() != 8 || k.Scans[0].Size != 1234567 || k.ScanNumber(2).Unit != "m" || k.ScanNumber(0) != nil || k.ScanNumber(4) != nil {
		t.Errorf("%+v, %+v", k.Conditions, k.Scans)
	}
}

// One scan may be written as a single table, as in records from before there
// could be several.
func TestSingleScanTable(t *testing.T) {
	before, after, _ := strings.Cut(scannedCheck, "\n[[scan]]")
	one, _, _ := strings.Cut(after, "\n[[scan]]")
	files := goodFiles(t)
	write := func(head string) *Check {
		files[checkFile] = &fstest.MapFile{Data: []byte(before + "\n" + head + one)}
		set, found := Load(files, Options{At: evaluated, CrossCheck: true})
		if len(found) > 0 {
			t.Fatal(printed(found))
		}
		return set.Checks["scan-02"][0]
	}
	single, several := write("[scan]"), write("[[scan]]")
	if len(single.Scans) != 1 || single.Scans[0] != several.Scans[0] || single.Scans[0].SHA256[63] != '1' {
		t.Errorf("%+v, want %+v", single.Scans, several.Scans)
	}
	text, err := Encode(single)
	if err != nil || !strings.Contains(string(text), "\n[[scan]]\n") || strings.Contains(string(text), "\n[scan]\n") {
		t.Errorf("%v\n%s", err, text)
	}
}

// Settings that a procedure does not state, as the reference says.
func TestExtractionDefaults(t *testing.T) {
	var e ExtractionSettings
	if e.OutlierRule() != CutOnce || e.RadiusRule() != FreeRadius || e.FormRule() != AllPoints || e.stated() {
		t.Errorf("defaults %q, %q, %q", e.OutlierRule(), e.RadiusRule(), e.FormRule())
	}
	e = ExtractionSettings{Outliers: NoOutliersCut, Radius: FixedRadius, Form: NinetyFivePoints}
	if e.OutlierRule() != NoOutliersCut || e.RadiusRule() != FixedRadius || e.FormRule() != NinetyFivePoints || !e.stated() {
		t.Errorf("stated %+v is not kept", e)
	}
}

func TestPlaceOfScans(t *testing.T) {
	for _, c := range []struct {
		site   SiteScans
		place  string
		inside bool
	}{
		{SiteScans{}, "scans/1.ply", true},
		{SiteScans{Folder: "scans"}, "scans/1.ply", true},
		{SiteScans{Archive: "https://archive.example/metrology/"}, "https://archive.example/metrology/scans/1.ply", false},
		{SiteScans{Archive: "/srv/archive"}, "/srv/archive/scans/1.ply", false},
		{SiteScans{Archive: `S:\archive\`}, `S:\archive\scans/1.ply`, false},
	} {
		if place, inside := c.site.Place("scans/1.ply"); place != c.place || inside != c.inside {
			t.Errorf("%+v: %s, %v; want %s, %v", c.site, place, inside, c.place, c.inside)
		}
	}
}

// A contribution of these names takes the place of what fits state, for its
// quantity or for all.
func TestDeclaredFit(t *testing.T) {
	for _, c := range []struct {
		name     string
		quantity Quantity
		asked    Quantity
		want     bool
	}{
		{"fit of the spheres", "", Distance, true},
		{"Fit of the spheres", Distance, Distance, true},
		{"repeatability", "", Diameter, true},
		{"repeatability", Distance, Diameter, false},
		{"fixing", "", Distance, false},
	} {
		p := Procedure{Uncertainties: []DeclaredUncertainty{{Name: "alignment"}, {Name: c.name, Quantity: c.quantity}}}
		if got := p.DeclaresFit(c.asked); (got != nil) != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
