package impact_test

import (
	"fmt"
	"math"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

// shop draws a small repository: one scanner with checks on some days of October 2026, most of them good, adjustments, and
// jobs.
type shop struct {
	*rapid.T
	files fstest.MapFS
}

func newShop(t *rapid.T) shop {
	s := shop{t, fstest.MapFS{}}
	put := func(name, text string) { s.files[name] = &fstest.MapFile{Data: []byte(text)} }
	put("plumbrule.toml", "format = 1\nname = \"Works\"\ntime-zone = \"Europe/Berlin\"\nunit = \"mm\"\n[decision]\nrule = \"simple\"\n")
	put("artifacts/bar.toml", "kind = \"ball bar\"\nserial = \"B\"\nin-service = 2026-01-01\nexpansion = \"11.5e-6/K\"\nexpansion-uncertainty = \"±1e-6/K (rectangular)\"\n"+
		"entered = 2026-01-01T09:00:00+01:00\nby = \"mk\"\n[calibration]\ninterval = \"24 months\"\n[[feature]]\nname = \"A-C\"\nquantity = \"distance\"\nnominal = \"800 mm\"\n")
	put("certificates/bar/2026-01-02-K.toml", "subject = \"bar\"\nnumber = \"K\"\ndate = 2026-01-02\nlaboratory = \"Lab\"\nentered = 2026-01-03T09:00:00+01:00\nby = \"mk\"\n"+
		"[[value]]\nfeature = \"A-C\"\nvalue = \"800 mm\"\nuncertainty = \"1 µm (k = 2)\"\n[review]\nby = \"rs\"\ndate = 2026-01-03\noutcome = \"accepted\"\n")
	put("procedures/bar.toml", "title = \"Bar\"\nrevision = \"1\"\nartifact-kind = \"ball bar\"\nentered = 2026-01-01T09:00:00+01:00\nby = \"mk\"\n[[feature]]\nname = \"A-C\"\n")
	put("devices/scan.toml", "kind = \"scanner\"\nserial = \"S\"\nin-service = 2026-01-01\nscale-expansion = \"none\"\nentered = 2026-01-01T09:00:00+01:00\nby = \"mk\"\n"+
		"[calibration]\ninterval = \"12 months\"\n[[limit]]\nquantity = \"distance\"\nmpe = \"25 µm + 50 µm/m\"\nlength = \"path\"\n")
	for day := 1; day <= 24; day++ {
		switch rapid.IntRange(0, 6).Draw(t, "day") {
		case 0, 1:
			s.check(day, rapid.IntRange(-150, 150).Draw(t, "good"))
		case 2:
			s.check(day, rapid.SampledFrom([]int{160, 310, -400}).Draw(t, "bad"))
		case 3:
			if rapid.Bool().Draw(t, "adjusted") {
				put(fmt.Sprintf("events/scan/2026-10-%02d-adjustment.toml", day), fmt.Sprintf("subject = \"scan\"\nkind = \"adjustment\"\ntime = 2026-10-%02dT12:00:00+02:00\n"+
					"entered = 2026-10-%02[1]dT12:00:00+02:00\nby = \"mk\"\nreason = \"x\"\nas-found = \"none\"\n", day))
			}
		}
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "jobs") {
		begin := rapid.IntRange(1, 24).Draw(t, "begin")
		end := rapid.IntRange(begin, 24).Draw(t, "end")
		path := ""
		if rapid.Bool().Draw(t, "path") {
			path = "path = \"1.5 m\"\n"
		}
		put(fmt.Sprintf("jobs/2026/j-%d.toml", i), fmt.Sprintf("title = \"x\"\ndevices = [\"scan\"]\nbegin = 2026-10-%02d\nend = 2026-10-%02d\nentered = 2026-10-29T09:00:00+01:00\nby = \"mk\"\n"+
			"[[measured]]\nquantity = \"distance\"\ntolerance = \"1 mm\"\nlength = \"1 m\"\n%s", begin, end, path))
	}
	return s
}

// check adds a check with an error in µm, at 20 °C over 2.6 m.
func (s shop) check(day, errorUM int) {
	name := fmt.Sprintf("checks/scan/2026/2026-10-%02dT0800-bar.toml", day)
	s.files[name] = &fstest.MapFile{Data: fmt.Appendf(nil, "device = \"scan\"\nartifact = \"bar\"\nprocedure = \"bar\"\ntime = 2026-10-%02dT08:00:00+02:00\nentered = 2026-10-%02[1]dT08:00:00+02:00\nby = \"mk\"\nunit = \"mm\"\n"+
		"[conditions]\nartifact-temperature = \"20 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n[[reading]]\nfeature = \"A-C\"\nvalues = [%.3[2]f]\npath = \"2.6 m\"\n", day, 800+float64(errorUM)/1000)}
}

func (s shop) doubts() (*records.Set, []rules.Doubt) {
	set, diagnostics := records.Load(s.files, records.Options{})
	if records.HasErrors(diagnostics) {
		s.Fatalf("%v", diagnostics)
	}
	return set, rules.Doubts(set, time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC), rules.Options{}, "scan")
}

// Every job in a window is in the answer exactly once, and no other; with a line for each window.
func TestEveryJobOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, doubts := newShop(t).doubts()
		zone := set.Site.Zone
		day := func(at time.Time) calendar.Date { return calendar.Of(at, zone) }
		lines := map[string]int{}
		for _, d := range doubts {
			for _, j := range set.Jobs {
				if (d.Since.IsZero() || !j.End.Before(day(d.Since))) && (d.Until.IsZero() || !j.Begin.After(day(d.Until))) {
					lines[j.ID]++
				}
			}
		}
		got := map[string]int{}
		last := math.Inf(1)
		for _, e := range impact.Of(doubts, "") {
			if got[e.Job.ID] != 0 {
				t.Fatalf("%s twice", e.Job.ID)
			}
			got[e.Job.ID] = len(e.Lines)
			if e.Most.Value == nil {
				last = -1
			} else if *e.Most.Value > last {
				t.Fatalf("%s with %v after %v", e.Job.ID, *e.Most.Value, last)
			} else {
				last = *e.Most.Value
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(lines) {
			t.Fatalf("lines %v, want %v", got, lines)
		}
	})
}

// A good check more never brings a job into doubt, and makes no window longer.
func TestAGoodCheckNeverEnlarges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := newShop(t)
		_, before := s.doubts()
		free := rapid.IntRange(1, 24).Filter(func(day int) bool {
			return s.files[fmt.Sprintf("checks/scan/2026/2026-10-%02dT0800-bar.toml", day)] == nil
		}).Draw(t, "free day")
		s.check(free, rapid.IntRange(-150, 150).Draw(t, "good too"))
		_, after := s.doubts()
		if a, b := len(impact.Of(after, "")), len(impact.Of(before, "")); a > b {
			t.Fatalf("%d jobs in doubt, %d before", a, b)
		}
		for _, d := range after {
			held := false
			for _, o := range before {
				held = held || (o.Since.IsZero() || !d.Since.IsZero() && !d.Since.Before(o.Since)) && (o.Until.IsZero() || !d.Until.IsZero() && !d.Until.After(o.Until))
			}
			if !held {
				t.Fatalf("%s from %s to %s lies in none of before", d.Kind, d.Since, d.Until)
			}
		}
	})
}

// The share is proportional to the error, with its sign lost, and to the inverse of the tolerance.
func TestShareIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := limit(t, rapid.SampledFrom([]string{"25 µm + 50 µm/m", "30 µm", "min(25 µm + 50 µm/m, 160 µm)"}).Draw(t, "limit"), records.PathLength, "")
		at := quantity.Millimetres(float64(rapid.IntRange(1, 9000).Draw(t, "at"))).String()
		j := job(t, "a", "1 mm", "1 mm", quantity.Millimetres(float64(rapid.IntRange(1, 9000).Draw(t, "path"))).String())
		errorUM, u, times := rapid.Float64Range(1, 1000).Draw(t, "error"), rapid.Float64Range(0, 50).Draw(t, "u"), rapid.Float64Range(-20, 20).Draw(t, "times")
		line := func(e, u float64) impact.Line {
			return impact.Of([]rules.Doubt{doubt(l, []rules.Evidence{found(t, l, at, e, u)}, j)}, "")[0].Lines[0]
		}
		one, more := line(errorUM, u), line(errorUM*times, u*math.Abs(times))
		for what, pair := range map[string][2]float64{
			"share": {*one.Share.Value * math.Abs(times), *more.Share.Value}, "most": {*one.Most.Value * math.Abs(times), *more.Most.Value}, "error": {*one.ErrorUM.Value * times, *more.ErrorUM.Value},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9*(1+math.Abs(pair[0])) {
				t.Fatalf("%s: %v and %v", what, pair[0], pair[1])
			}
		}
		if *one.Most.Value < *one.Share.Value {
			t.Fatalf("at most %v, alone %v", *one.Most.Value, *one.Share.Value)
		}
	})
}
