package impact_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
	"plumbrule/rules/figure"
	"plumbrule/rules/impact"
)

func length(tb rapid.TB, text string) quantity.Length {
	tb.Helper()
	if text == "" {
		return quantity.Length{}
	}
	l, err := quantity.ParseLength(text)
	if err != nil {
		tb.Fatal(err)
	}
	return l
}

func limit(tb rapid.TB, mpe, counts, upTo string) *records.Limit {
	tb.Helper()
	m, err := quantity.ParseMPE(mpe)
	if err != nil {
		tb.Fatal(err)
	}
	return &records.Limit{Quantity: records.Distance, MPE: m, Length: counts, UpTo: length(tb, upTo)}
}

// found is an error found at a length, beside the limit there.
func found(tb rapid.TB, l *records.Limit, at string, errorUM, expandedUM float64) rules.Evidence {
	tb.Helper()
	mpe, err := l.MPE.At(length(tb, at))
	if err != nil {
		tb.Fatal(err)
	}
	return rules.Evidence{
		Limit: l, Judgement: &rules.Judgement{Length: length(tb, at)},
		Decision: conformity.Decision{ErrorUM: errorUM, MPEUM: mpe, ExpandedUM: figure.Known(expandedUM)},
	}
}

func job(tb rapid.TB, id, tolerance, straight, path string) *records.Job {
	tb.Helper()
	return &records.Job{ID: id, End: calendar.Date{Year: 2026, Month: 10, Day: 7}, Measured: []records.JobFeature{{
		Quantity: records.Distance, Tolerance: length(tb, tolerance), Length: length(tb, straight), Path: length(tb, path),
	}}}
}

func doubt(l *records.Limit, findings []rules.Evidence, jobs ...*records.Job) rules.Doubt {
	d := rules.Doubt{Device: "scan-02", Limit: l, Kind: rules.OutsideLimit, Findings: findings}
	for _, j := range jobs {
		one := rules.DoubtfulJob{Job: j}
		for i := range j.Measured {
			one.Measured = append(one.Measured, &j.Measured[i])
		}
		d.Jobs = append(d.Jobs, one)
	}
	return d
}

// By hand. 25 + 50 · L is 155 µm over 2.6 m, 75 over 1 m, 175 over 3 m. The error of 310 µm is twice the limit: 150 µm over 1 m,
// 350 over 3 m; U of 15.5 µm is a tenth of it: 7.5 and 17.5. Half of 1 mm is 500 µm.
func TestShares(t *testing.T) {
	path := limit(t, "25 µm + 50 µm/m", records.PathLength, "")
	straight := limit(t, "25 µm + 50 µm/m", records.StraightLength, "2 m")
	constant := limit(t, "155 µm", "", "")
	capped := limit(t, "min(25 µm + 50 µm/m, 160 µm)", records.PathLength, "")
	for name, c := range map[string]struct {
		limit                *records.Limit
		job                  *records.Job
		errorUM, share, most float64
		atMM                 float64
		beyond               bool
	}{
		"over a shorter path":     {path, job(t, "a", "1 mm", "0.8 m", "1 m"), -150, 0.3, 0.315, 1000, false},
		"over a longer path":      {path, job(t, "a", "1 mm", "0.8 m", "3 m"), -350, 0.7, 0.735, 3000, true},
		"of a narrower zone":      {path, job(t, "a", "0.2 mm", "0.8 m", "1 m"), -150, 1.5, 1.575, 1000, false},
		"straight":                {straight, job(t, "a", "1 mm", "1 m", "3 m"), -150, 0.3, 0.315, 1000, false},
		"up to the limit's range": {straight, job(t, "a", "1 mm", "9 m", "9 m"), -250, 0.5, 0.525, 2000, false},
		"constant, wherever":      {constant, job(t, "a", "1 mm", "9 m", ""), -310, 0.62, 0.651, 0, false},
		"capped: 160/155 of 310":  {capped, job(t, "a", "1 mm", "0.8 m", "9 m"), -320, 0.64, 0.672, 9000, true},
	} {
		t.Run(name, func(t *testing.T) {
			e := impact.Of([]rules.Doubt{doubt(c.limit, []rules.Evidence{found(t, c.limit, "2.6 m", -310, 15.5)}, c.job)}, "")
			if len(e) != 1 || len(e[0].Lines) != 1 || e[0].Unbounded {
				t.Fatalf("%+v", e)
			}
			l := e[0].Lines[0]
			for what, pair := range map[string][2]float64{"error": {*l.ErrorUM.Value, c.errorUM}, "share": {*l.Share.Value, c.share}, "most": {*e[0].Most.Value, c.most}, "at": {l.AtMM, c.atMM}} {
				if math.Abs(pair[0]-pair[1]) > 1e-9 {
					t.Errorf("%s: %v, want %v", what, pair[0], pair[1])
				}
			}
			if l.Beyond != c.beyond {
				t.Errorf("beyond: %v", l.Beyond)
			}
		})
	}
}

// A laboratory's errors scale alike: found 40 µm at 800 mm beside 25 + 50 · 0.8 = 65 µm, over 1.6 m beside 105 µm: 40 · 105/65.
func TestShareOfACertifiedError(t *testing.T) {
	l := limit(t, "25 µm + 50 µm/m", records.StraightLength, "")
	f := found(t, l, "800 mm", 40, 0)
	f.Judgement, f.Certified = nil, &records.CertifiedError{Length: length(t, "800 mm")}
	e := impact.Of([]rules.Doubt{doubt(l, []rules.Evidence{f}, job(t, "a", "1 mm", "1.6 m", ""))}, "")
	if got := *e[0].Lines[0].ErrorUM.Value; math.Abs(got-40*105.0/65) > 1e-9 || !e[0].Lines[0].Beyond {
		t.Errorf("%v, beyond %v", got, e[0].Lines[0].Beyond)
	}
}

// What cannot be bounded is there, after what can be, and says why.
func TestUnbounded(t *testing.T) {
	path := limit(t, "25 µm + 50 µm/m", records.PathLength, "")
	f := []rules.Evidence{found(t, path, "2.6 m", 310, 15.5)}
	unknown := doubt(path, nil, job(t, "unknown", "1 mm", "1 m", "1 m"))
	unknown.Kind, unknown.Why = rules.NoAsFound, "nothing was measured before"
	noU := found(t, path, "2.6 m", 310, 15.5)
	noU.Decision.ExpandedUM = figure.Absent("not known")
	for reason, d := range map[string]rules.Doubt{
		"the job states none":     doubt(path, f, job(t, "a", "1 mm", "1 m", "")),
		"states no tolerance":     doubt(path, f, job(t, "a", "", "1 m", "1 m")),
		"nothing was measured":    unknown,
		"uncertainty of what was": doubt(path, []rules.Evidence{noU}, job(t, "a", "1 mm", "1 m", "1 m")),
	} {
		e := impact.Of([]rules.Doubt{d, doubt(path, f, job(t, "z", "9 mm", "1 m", "1 m"))}, "")
		if len(e) != 2 || e[0].Job.ID != "z" || !e[1].Unbounded || e[1].Most.Value != nil || !strings.Contains(e[1].Most.Reason, reason) {
			t.Errorf("%s: %+v", reason, e)
		}
	}
	straight := limit(t, "25 µm + 50 µm/m", records.StraightLength, "")
	e := impact.Of([]rules.Doubt{doubt(straight, []rules.Evidence{found(t, straight, "1 m", 310, 15)}, job(t, "a", "1 mm", "", ""))}, "")
	if !strings.Contains(e[0].Most.Reason, "states no length") {
		t.Errorf("%+v", e[0].Most)
	}
}

// Of several errors in a window the one that weighs most counts: 160 of 155 over 2.6 m is less than 80 of 75 over 1 m (by hand
// 160/155 = 1.032, 80/75 = 1.067).
func TestTheGravestFindingCounts(t *testing.T) {
	l := limit(t, "25 µm + 50 µm/m", records.PathLength, "")
	d := doubt(l, []rules.Evidence{found(t, l, "2.6 m", 160, 0), found(t, l, "1 m", 80, 0), found(t, l, "2.6 m", 157, 0)}, job(t, "a", "1 mm", "1 m", "2.6 m"))
	line := impact.Of([]rules.Doubt{d}, "")[0].Lines[0]
	if math.Abs(*line.ErrorUM.Value-155*80.0/75) > 1e-9 || line.Finding != &d.Findings[1] {
		t.Errorf("%v", *line.ErrorUM.Value)
	}
}

// An error whose uncertainty nobody stated is shown as found, and no other error of the window bounds it: 310 of 155 µm is 150 of 75
// over 1 m, 0.3 of the half tolerance (by hand).
func TestABoundedFindingDoesNotSpeakForAnUnboundedOne(t *testing.T) {
	l := limit(t, "25 µm + 50 µm/m", records.PathLength, "")
	noU := found(t, l, "2.6 m", 310, 0)
	noU.Decision.ExpandedUM = figure.Absent("not known")
	d := doubt(l, []rules.Evidence{found(t, l, "2.6 m", 160, 3), noU}, job(t, "a", "1 mm", "1 m", "1 m"))
	e := impact.Of([]rules.Doubt{d}, "")[0]
	line := e.Lines[0]
	if !e.Unbounded || e.UsedUp() || e.Most.Value != nil || line.Finding != &d.Findings[1] || math.Abs(*line.Share.Value-0.3) > 1e-9 {
		t.Errorf("%+v", e)
	}
	d.Jobs = doubt(l, nil, job(t, "a", "0.3 mm", "1 m", "1 m")).Jobs
	if e := impact.Of([]rules.Doubt{d}, "")[0]; !e.UsedUp() || !e.Unbounded {
		t.Errorf("150 µm in half of 0.3 mm: %+v", e)
	}
}

func TestByCustomer(t *testing.T) {
	l := limit(t, "25 µm", "", "")
	jobs := []*records.Job{job(t, "a", "1 mm", "1 m", ""), job(t, "b", "0.1 mm", "1 m", ""), job(t, "c", "2 mm", "1 m", ""), job(t, "d", "3 mm", "1 m", "")}
	jobs[0].Customer, jobs[1].Customer, jobs[3].Customer = "C-2", "C-1", "C-2"
	var got []string
	for _, c := range impact.ByCustomer(impact.Of([]rules.Doubt{doubt(l, []rules.Evidence{found(t, l, "1 m", 30, 1)}, jobs...)}, "")) {
		one := c.Reference + ":"
		for _, e := range c.Effects {
			one += e.Job.ID
		}
		got = append(got, one)
	}
	if want := "C-1:b C-2:ad :c"; strings.Join(got, " ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}

func TestUnread(t *testing.T) {
	set := &records.Set{Unreadable: []records.Unreadable{
		{File: "jobs/2026/a.toml", Kind: "job", Subject: "a"},
		{File: "jobs/2026/a.toml", Kind: "job", Subject: "b"},
		{File: "checks/x", Kind: "check", Subject: "scan-02"},
		{File: "checks/y", Kind: "check", Subject: "scan-03"},
		{File: "procedures/p.toml", Kind: "procedure", Subject: "scan-02"},
	}}
	if got := impact.Unread(set, "scan-02"); len(got) != 2 || got[0].Kind != "job" || got[1].File != "checks/x" {
		t.Errorf("%+v", got)
	}
}
