package plan_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/figure"
	"plumbrule/rules/plan"
)

func date(tb testing.TB, text string) calendar.Date {
	tb.Helper()
	d, err := calendar.ParseDate(text)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

// works is a site on Monday, 2 November 2026, with one device and one artifact; a test changes what it is about.
func works(tb testing.TB) (*records.Set, *rules.Assessment) {
	tb.Helper()
	at := time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC)
	set := &records.Set{
		Site:         &records.Site{Zone: time.UTC},
		Certificates: map[string][]*records.Certificate{"scan-01": {{Date: date(tb, "2026-01-10"), Laboratory: "old"}, {Date: date(tb, "2026-02-10"), Laboratory: "Fennrath"}, {Date: date(tb, "2026-11-03"), Laboratory: "tomorrow"}}},
		Checks:       map[string][]*records.Check{"scan-01": {{Procedure: "weekly", Artifact: "bar", Time: at.Add(-time.Hour)}, {Procedure: "weekly", Artifact: "later", Time: at.Add(time.Hour)}}},
		Procedures:   map[string]*records.Procedure{"never": {ArtifactKind: "setting ring"}},
	}
	mpe, err := quantity.ParseMPE("30 µm")
	if err != nil {
		tb.Fatal(err)
	}
	record := &records.Device{ID: "scan-01", Limits: []records.Limit{{Quantity: records.Distance, MPE: mpe}}}
	a := &rules.Assessment{
		At: at, Today: date(tb, "2026-11-02"),
		Devices: []rules.Device{{
			ID: "scan-01", Record: record, Fitness: rules.Fit, Service: rules.Service{State: rules.InService, Location: "hall 1"},
			Calibration: rules.Due{What: "calibration", State: rules.Ahead, Date: date(tb, "2027-06-01")},
		}},
		Artifacts: []rules.Artifact{{ID: "bar", Record: &records.Artifact{}, Service: rules.InService, Calibration: rules.Due{What: "calibration", State: rules.Ahead, Date: date(tb, "2027-06-01")}}},
	}
	return set, a
}

func text(p *plan.Plan) string {
	var out []string
	for i := range p.Tasks {
		t := &p.Tasks[i]
		line := fmt.Sprintf("%s %s %s %s", t.Day, t.Subject, t.What, t.With)
		if t.Late {
			line += " late"
		}
		if t.Objection != "" {
			line += " !" + t.Objection
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

func made(tb testing.TB, set *records.Set, a *rules.Assessment, weeks int) plan.Plan {
	tb.Helper()
	p, err := plan.For(set, a, weeks)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

// A check due on the 4th and every seven days comes on the 4th, 11th and so on, the last day of the plan included; days read
// off the calendar.
func TestChecksRecur(t *testing.T) {
	set, a := works(t)
	a.Devices[0].Checks = []rules.Due{{What: "weekly", State: rules.Ahead, Date: date(t, "2026-11-09"), Interval: quantity.Interval{Days: 7}}}
	p := made(t, set, a, 3)
	if got, want := text(&p), "2026-11-09 scan-01 weekly bar\n2026-11-16 scan-01 weekly bar\n2026-11-23 scan-01 weekly bar"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if p.Tasks[0].Expected || !p.Tasks[1].Expected || len(p.Batches) != 3 || p.Until != date(t, "2026-11-23") {
		t.Errorf("%+v", p)
	}
}

// An extra check asked since the 26th and the planned one of the 3rd are one piece of work, late, today; the next follows after
// the interval.
func TestExtraDoesForThePlanned(t *testing.T) {
	set, a := works(t)
	a.Devices[0].Checks = []rules.Due{
		{What: "weekly", State: rules.Soon, Date: date(t, "2026-11-03"), Interval: quantity.Interval{Days: 7}},
		{What: "weekly", State: rules.DueNow, Date: date(t, "2026-10-26"), Extra: true},
	}
	p := made(t, set, a, 1)
	if got, want := text(&p), "2026-11-02 scan-01 weekly bar late\n2026-11-09 scan-01 weekly bar"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A calibration is sent away its lead time before it is due: 30 days before 20 December is 20 November; the site's and the
// object's own come first. Days by hand.
func TestCalibrationsAreSentInTime(t *testing.T) {
	set, a := works(t)
	a.Devices[0].Calibration.Date = date(t, "2026-12-20")
	day := func() string { p := made(t, set, a, 6); return text(&p) }
	if got, want := day(), "2026-11-20 scan-01 calibration Fennrath"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	set.Site.Due.Lead = quantity.Interval{Days: 10}
	if got, want := day(), "2026-12-10 scan-01 calibration Fennrath"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	a.Devices[0].Record.Calibration.Lead = quantity.Interval{Months: 2}
	if got, want := day(), "2026-11-02 scan-01 calibration Fennrath late"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	for _, state := range []rules.DueState{rules.NotRequired, rules.Stopped} {
		a.Devices[0].Calibration.State = state
		if got := day(); got != "" {
			t.Errorf("%s: %s", state, got)
		}
	}
}

func TestArtifactThatRunsOutIsSaid(t *testing.T) {
	set, a := works(t)
	a.Devices[0].Checks = []rules.Due{{What: "weekly", State: rules.Ahead, Date: date(t, "2026-11-04"), Interval: quantity.Interval{Days: 7}}, {What: "never", State: rules.Missing, Date: date(t, "2026-01-01")}}
	a.Artifacts[0].Calibration.Date, set.Site.Due.Lead = date(t, "2026-11-04"), quantity.Interval{Days: 1}
	p := made(t, set, a, 2)
	want := "2026-11-02 scan-01 never setting ring late\n2026-11-03 bar calibration \n2026-11-04 scan-01 weekly bar\n" +
		"2026-11-11 scan-01 weekly bar !bar: its calibration runs out on 2026-11-04"
	if got := text(&p); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// One artifact, one place, one week is one batch; another place is another. Calibrations by one laboratory go together.
func TestBatches(t *testing.T) {
	set, a := works(t)
	weekly := rules.Due{What: "weekly", State: rules.Ahead, Date: date(t, "2026-11-04"), Interval: quantity.Interval{Months: 2}}
	a.Devices[0].Checks, a.Devices[0].Calibration.Date = []rules.Due{weekly}, date(t, "2026-12-10")
	for _, c := range []struct{ id, place string }{{"scan-02", "hall 1"}, {"scan-03", "hall 2"}} {
		d := a.Devices[0]
		d.ID, d.Service.Location = c.id, c.place
		set.Checks[c.id], set.Certificates[c.id] = set.Checks["scan-01"], set.Certificates["scan-01"]
		a.Devices = append(a.Devices, d)
	}
	p := made(t, set, a, 2)
	var got []string
	for _, b := range p.Batches {
		got = append(got, fmt.Sprintf("%s %s %s %s %d", b.Week, b.Kind, b.With, b.Place, len(b.Tasks)))
	}
	want := "2026-11-02 check bar hall 1 2\n2026-11-02 check bar hall 2 1\n2026-11-09 calibration Fennrath  3"
	if strings.Join(got, "\n") != want {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

func TestJobsNotCovered(t *testing.T) {
	set, a := works(t)
	job := func(id, begin, end string) *records.Job {
		return &records.Job{
			ID: id, File: "jobs/2026/" + id + ".toml", Devices: []string{"scan-01"}, Begin: date(t, begin), End: date(t, end),
			Measured: []records.JobFeature{{Quantity: records.Distance, Length: quantity.Metres(1)}},
		}
	}
	again := job("again", "2026-11-03", "2026-11-21")
	again.Amends = "jobs/2026/wrong.toml"
	future := job("unknown-yet", "2026-11-03", "2026-11-21")
	future.Entered = a.At.Add(time.Hour)
	set.Jobs = []*records.Job{
		job("past", "2026-10-01", "2026-11-01"), job("on-the-day", "2026-11-02", "2026-11-20"), job("wrong", "2026-11-03", "2026-11-30"), again, future,
		job("after", "2026-12-15", "2026-12-16"),
	}
	a.Devices[0].Calibration.Date = date(t, "2026-11-20")
	got := func() string {
		var out []string
		p := made(t, set, a, 6)
		for _, j := range p.Jobs {
			line := j.Job.ID
			for _, g := range j.Gaps {
				line += ": " + g.Sentence
			}
			out = append(out, line)
		}
		return strings.Join(out, "\n")
	}
	if want := "on-the-day\nagain: its calibration runs out on 2026-11-20, and the job ends on 2026-11-21"; got() != want {
		t.Errorf("got\n%s\nwant\n%s", got(), want)
	}
	a.Devices[0].Fitness, a.Devices[0].Reasons = rules.Limited, []rules.Reason{{Effect: rules.Limited, Sentence: "by decision"}}
	if want := "it may not measure distance at 1 m: by decision"; strings.Count(got(), want) != 2 {
		t.Errorf("got\n%s", got())
	}
	a.Devices[0].Fitness = rules.Unfit
	if want := "it is unfit: by decision"; strings.Count(got(), want) != 2 {
		t.Errorf("got\n%s", got())
	}
}

func TestWeek(t *testing.T) { // read off the calendar: 2 November 2026 is a Monday
	for day, monday := range map[string]string{"2026-11-02": "2026-11-02", "2026-11-08": "2026-11-02", "2026-11-09": "2026-11-09", "2027-01-01": "2026-12-28"} {
		if got := plan.Week(date(t, day)).String(); got != monday {
			t.Errorf("%s: %s, want %s", day, got, monday)
		}
	}
}

func TestWeeksAreBounded(t *testing.T) {
	set, a := works(t)
	for _, weeks := range []int{0, -1, 105} {
		_, err := plan.For(set, a, weeks)
		if f, ok := errors.AsType[*figure.InputError](err); !ok || f.Field != "weeks" {
			t.Errorf("%d: %v", weeks, err)
		}
	}
}
