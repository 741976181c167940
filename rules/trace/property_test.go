package trace_test

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// drawn is the shop with certificates of drawn days, reviews and outcomes.
func drawn(tb testing.TB, t *rapid.T) fstest.MapFS {
	tb.Helper()
	files := base(tb)
	for _, c := range []struct{ file, subject, values string }{
		{ofBar, "bar-1", `[[value]]
feature = "A"
value = "29.9990 mm"
uncertainty = "0.6 µm (k = 2)"
[[value]]
feature = "A-C"
value = "800.0150 mm"
uncertainty = "1.6 µm (k = 2)"
`},
		{ofScan, "scan-1", `[[as-found]]
quantity = "diameter"
length = "30 mm"
error = "4 µm"
uncertainty = "2 µm (k = 2)"
[[as-found]]
quantity = "distance"
length = "800 mm"
path = "2.7 m"
error = "9 µm"
uncertainty = "4 µm (k = 2)"
`},
	} {
		delete(files, c.file)
		for i := range rapid.IntRange(0, 4).Draw(t, "certificates of "+c.subject) {
			day := (calendar.Date{Year: 2024, Month: 1, Day: 1}).AddDays(rapid.IntRange(0, 1050).Draw(t, "day"))
			reviewed := day.AddDays(rapid.IntRange(0, 40).Draw(t, "days to the review"))
			text := fmt.Sprintf("subject = %q\nnumber = \"N-%d\"\ndate = %s\nlaboratory = \"Lab\"\nentered = %sT09:00:00Z\nby = \"mk\"\n", c.subject, i, day, reviewed) + c.values
			switch rapid.IntRange(0, 5).Draw(t, "outcome") {
			case 0: // not reviewed
			case 1:
				text += fmt.Sprintf("[review]\nby = \"rs\"\ndate = %s\noutcome = \"sent back\"\nreason = \"late\"\n", reviewed)
			case 2:
				text += fmt.Sprintf("[review]\nby = \"rs\"\ndate = %s\noutcome = \"accepted with limits\"\nquantities = [\"distance\"]\nreason = \"U\"\n", reviewed)
			default:
				text += fmt.Sprintf("[review]\nby = \"rs\"\ndate = %s\noutcome = \"accepted\"\n", reviewed)
			}
			name := fmt.Sprintf("certificates/%s/%s-N-%d.toml", c.subject, day, i)
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return files
}

// used lists the files of the certificates that the evaluation of a check, and of the device on the evening asked about,
// rests on.
func used(set *records.Set) (byCheck, byDevice []string) {
	for _, f := range rules.JudgeCheck(set, asked(), rules.Options{}, "scan-1", check) {
		if f.Judgement != nil {
			byCheck = append(byCheck, f.Judgement.Certificate.File)
		}
	}
	a := rules.Evaluate(set, asked(), rules.Options{})
	for i := range a.Devices[0].Evidence {
		if e := &a.Devices[0].Evidence[i]; e.Judgement != nil {
			byDevice = append(byDevice, e.Judgement.Certificate.File)
		} else {
			byDevice = append(byDevice, e.Source.File)
		}
	}
	return byCheck, byDevice
}

// inChain lists the files of the certificates in a chain that no gap keeps from being in force.
func inChain(c *trace.Chain) []string {
	var out []string
	for _, s := range c.Steps {
		barred := slices.ContainsFunc(s.Gaps, func(g trace.Gap) bool {
			return g.Code == "never-reviewed" || g.Code == "sent-back" || g.Code == "certificate-not-yet"
		})
		if s.Kind == trace.Certificate && !barred {
			out = append(out, s.Sources[0].File)
		}
	}
	return out
}

func TestEveryCertificateUsedIsInTheChain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		files := drawn(t, rt)
		set, _ := records.Load(files, records.Options{})
		byCheck, byDevice := used(set)
		for subject, want := range map[string][]string{check: byCheck, "scan-1": byDevice, "j-1": byDevice} {
			c := followIn(t, set, subject, "", nil)
			have := inChain(c)
			for _, file := range want {
				if !slices.Contains(have, file) {
					rt.Errorf("%s: %s is used and not in the chain %v", subject, file, have)
				}
			}
			for _, file := range have {
				without, _ := records.Load(less(files, file), records.Options{})
				left := followIn(t, without, subject, "", nil)
				for _, figure := range certified(c, file) {
					if another := slices.Contains(certified(left, path.Dir(file)), figure); !another && !slices.ContainsFunc(missing(left), func(g string) bool { return !slices.Contains(missing(c), g) }) {
						rt.Errorf("%s: %s taken away, nothing in its place for %s, and no gap told", subject, file, figure)
					}
				}
			}
		}
	})
}

// certified lists the quantities of the figures that come from certificates whose path begins so.
func certified(c *trace.Chain, from string) []string {
	var out []string
	for _, s := range c.Steps {
		if s.Kind == trace.Certificate && strings.HasPrefix(s.Sources[0].File, from) {
			for _, f := range s.Figures {
				out = append(out, string(f.Quantity))
			}
		}
	}
	return out
}

func less(files fstest.MapFS, file string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, f := range files {
		if name != file {
			out[name] = f
		}
	}
	return out
}

// missing lists, with their sentences, the gaps for want of a certificate.
func missing(c *trace.Chain) []string {
	var out []string
	for _, g := range c.Gaps() {
		if g.Gap.Code == "certificate-missing" {
			out = append(out, c.Steps[g.Step].Name+": "+g.Gap.Sentence)
		}
	}
	return out
}

// Nothing that was entered after the instant asked about is in the chain without hindsight, and the same with hindsight is.
func TestTheChainIsThatOfTheInstant(t *testing.T) {
	files := edited(t, edit{ofBar, "entered = 2025-01-10T09:00:00+01:00", "entered = 2026-12-01T09:00:00+01:00"})
	set, _ := records.Load(files, records.Options{})
	for hindsight, want := range map[bool]string{false: "certificate-missing", true: ""} {
		q := trace.Query{Set: set, At: asked(), Subject: check, Options: rules.Options{Hindsight: hindsight}}
		c, err := trace.For(q)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, g := range c.Gaps() {
			if g.Gap.Code == "certificate-missing" {
				got = g.Gap.Code
			}
		}
		if got != want {
			t.Errorf("hindsight %v: gap %q, want %q", hindsight, got, want)
		}
	}
}

// A job of the summer is judged by what held in the summer, whatever was found since.
func TestAJobIsTracedOnItsOwnDay(t *testing.T) {
	set, _ := records.Load(base(t), records.Options{})
	q := trace.Query{Set: set, At: asked().AddDate(2, 0, 0), Subject: "j-1"}
	c, err := trace.For(q)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range c.Gaps() {
		if g.Gap.Code != "file-unseen" {
			t.Errorf("two years later: %+v", g)
		}
	}
	q.Subject = "scan-1"
	if c, err = trace.For(q); err != nil {
		t.Fatal(err)
	}
	if !slices.Contains(gaps(c), "device scan-1: device-not-fit") {
		t.Error("a device overdue for years has no gap")
	}
	q.Subject, q.At = "j-1", time.Date(2026, 11, 22, 12, 0, 0, 0, time.UTC)
	q.Options.Hindsight = true
	if _, err = trace.For(q); err == nil {
		t.Error("a job that had not begun was traced")
	}
}
