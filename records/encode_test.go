package records

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"plumbrule/records/source"
)

// sameRecord compares records but for file, id and lines.
func sameRecord() cmp.Options {
	return cmp.Options{
		cmp.FilterPath(func(p cmp.Path) bool {
			name := p.Last().String()
			return slices.Contains([]string{".File", ".ID", ".Line", ".RuleLine", ".KindLine", ".TestLine", ".Zone"}, name) && p.Index(-2).Type() != reflect.TypeFor[Attachment]() && (p.Last().String() != ".File" || p.Index(-2).Type() != reflect.TypeFor[ScanFile]())
		}, cmp.Ignore()),
		cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) }),
		cmp.Comparer(func(a, b float64) bool { return a == b && math.Signbit(a) == math.Signbit(b) }),
		cmp.Exporter(func(reflect.Type) bool { return true }),
		cmpopts.EquateEmpty(),
	}
}

// TestEncodeRoundTrip writes records of every kind and reads them, with this
// package's reader and with the TOML library.
func TestEncodeRoundTrip(t *testing.T) {
	kinds := map[string]struct {
		file string
		draw func(drawer) any
	}{
		"device":      {deviceFile, func(d drawer) any { return d.device() }},
		"artifact":    {"artifacts/a.toml", func(d drawer) any { return d.artifact() }},
		"certificate": {"certificates/a/b.toml", func(d drawer) any { return d.certificate() }},
		"procedure":   {"procedures/a.toml", func(d drawer) any { return d.procedure() }},
		"check":       {checkFile, func(d drawer) any { return d.check() }},
		"event":       {"events/a/b.toml", func(d drawer) any { return d.event() }},
		"job":         {"jobs/2026/a.toml", func(d drawer) any { return d.job() }},
		"case":        {"cases/a/b.toml", func(d drawer) any { return d.step() }},
		"site":        {SiteFile, func(d drawer) any { return d.site() }},
	}
	for name, kind := range kinds {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				record := kind.draw(drawer{t})
				text, err := Encode(record)
				if err != nil {
					t.Fatal(err)
				}
				l := newLoader(fstest.MapFS{kind.file: {Data: text}}, Options{CrossCheck: true})
				r := l.newReader()
				var got any
				if name == "site" {
					l.readSite()
					got = l.set.Site
				} else {
					got = r.read(kind.file)
				}
				if len(r.list) > 0 {
					t.Fatalf("%s\n%s", printed(r.list), text)
				}
				if diff := cmp.Diff(record, got, sameRecord()); diff != "" {
					t.Fatalf("-written +read:\n%s\n%s", diff, text)
				}
				if again, err := Encode(got); err != nil || string(again) != string(text) {
					t.Fatalf("%v\nfirst:\n%s\nagain:\n%s", err, text, again)
				}
			})
		})
	}
}

// TestEncodeGoodRepository writes every record of a repository and loads what
// was written.
func TestEncodeGoodRepository(t *testing.T) {
	files := goodFiles(t)
	before, _ := Load(files, Options{})
	written := 0
	write := func(file string, record any) {
		text, err := Encode(record)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		files[file] = &fstest.MapFile{Data: text}
		written++
	}
	write(SiteFile, before.Site)
	for _, r := range before.Devices {
		write(r.File, r)
	}
	for _, r := range before.Artifacts {
		write(r.File, r)
	}
	for _, r := range before.Procedures {
		write(r.File, r)
	}
	for _, list := range before.Certificates {
		for _, r := range list {
			write(r.File, r)
		}
	}
	for _, list := range before.Checks {
		for _, r := range list {
			write(r.File, r)
		}
	}
	for _, list := range before.Events {
		for _, r := range list {
			write(r.File, r)
		}
	}
	for _, r := range before.Jobs {
		write(r.File, r)
	}
	for _, list := range before.Cases {
		for _, r := range list {
			write(r.File, r)
		}
	}
	after, found := Load(files, Options{At: evaluated, CrossCheck: true})
	if len(found) > 0 || written != 11 {
		t.Fatalf("%d written; %s", written, printed(found))
	}
	if diff := cmp.Diff(before, after, sameRecord()); diff != "" {
		t.Errorf("-before +after:\n%s", diff)
	}
}

// TestEncodeRefuses says that what could not be read is not written.
func TestEncodeRefuses(t *testing.T) {
	good, _ := Load(goodFiles(t), Options{})
	check := func(change func(*Check)) *Check {
		k := *good.Checks["scan-02"][0]
		k.Readings = slices.Clone(k.Readings)
		change(&k)
		return &k
	}
	for want, record := range map[string]any{
		"values has the value nan":       check(func(k *Check) { k.Readings[0].Values = []float64{math.NaN()} }),
		"values has the value +inf":      check(func(k *Check) { k.Readings[0].Values = []float64{math.Inf(1)} }),
		"values is an empty list":        check(func(k *Check) { k.Readings[0].Values = nil }),
		"key by is missing":              check(func(k *Check) { k.By = "" }),
		"key reading is missing":         check(func(k *Check) { k.Readings = nil }),
		"note is empty":                  check(func(k *Check) { k.Note = " \n" }),
		"byte 0xFF is not UTF-8":         check(func(k *Check) { k.Note = "a\xff" }),
		`device is "a b"`:                check(func(k *Check) { k.Device = "a b" }),
		`unit is "cm"`:                   check(func(k *Check) { k.Unit = "cm" }),
		"records.Check is no record":     *good.Checks["scan-02"][0],
		"expected a year from 1950 to":   check(func(k *Check) { k.Time = time.Date(1949, 1, 1, 0, 0, 0, 0, time.UTC) }),
		"expected 64 hexadecimal digits": check(func(k *Check) { k.Scans = []ScanFile{{File: "a", SHA256: "00"}} }),
		"sha256 is missing":              check(func(k *Check) { k.Scans = []ScanFile{{File: "a"}} }),
	} {
		text, err := Encode(record)
		if err == nil || !strings.Contains(err.Error(), want) || text != nil {
			t.Errorf("%q expected, got %v\n%s", want, err, text)
		}
	}
}

// TestQuote gives each kind of character as TOML v1.0.0 ("String") has it in a
// basic string, and hides none from the reader of the file.
func TestQuote(t *testing.T) {
	for text, want := range map[string]string{
		"plain µm":     `"plain µm"`,
		`say "a\b"`:    `"say \"a\\b\""`,
		"a\nb\tc\rd":   `"a\nb\tc\u000Dd"`,
		"\x00\x1f\x7f": `"\u0000\u001F\u007F"`,
		"\u0085\u2028": `"\u0085\u2028"`,
		"a\u202eb":     `"a\u202Eb"`,
		"\ufeff":       `"\uFEFF"`,
		"\U000e0001":   `"\U000E0001"`,
		"計量 😀":         `"計量 😀"`,
	} {
		got := Quoted(text)
		if got != want {
			t.Errorf("%q: got %s, want %s", text, got, want)
		}
		var p source.Parser
		doc, fault := p.Parse([]byte("k = " + got))
		if fault != nil {
			t.Fatal(fault)
		}
		n, _ := doc.Root().Child("k")
		if back, _ := n.Text(); back != text {
			t.Errorf("%q read back as %q", text, back)
		}
	}
}

func TestFormatNumber(t *testing.T) {
	for want, v := range map[string]float64{
		"0.0": 0, "-0.0": math.Copysign(0, -1), "800.0": 800, "29.999": 29.999, "1.5e-07": 1.5e-7,
		"1200031.5": 1200031.5, "10000000000.0": 1e10, "5.0e-324": 5e-324, "1.0e+300": 1e300, "1.7976931348623157e+308": math.MaxFloat64,
	} {
		if got := formatNumber(v); got != want {
			t.Errorf("%g: got %s, want %s", v, got, want)
		}
	}
}
