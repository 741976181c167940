package interval_test

import (
	"math"
	"strings"
	"testing"

	"plumbrule/rules/interval"
)

func proposed(t *testing.T, p interval.Proposal) float64 {
	t.Helper()
	if p.ProposedMonths == nil {
		t.Errorf("nothing proposed: %v", p.Reasons)
		return math.NaN()
	}
	return *p.ProposedMonths
}

func evidence(t *testing.T, p interval.Proposal, name interval.EvidenceName) interval.Figure {
	t.Helper()
	for _, e := range p.Evidence {
		if e.Name == name {
			return e.Figure
		}
	}
	t.Errorf("no evidence %s", name)
	return interval.Figure{}
}

func says(t *testing.T, p interval.Proposal, words string) {
	t.Helper()
	if !strings.Contains(strings.Join(p.Reasons, "\n"), words) {
		t.Errorf("want %q in the reasons, got %q", words, p.Reasons)
	}
}

// A constructed run, by hand: 12 · 1.2, kept, · 0.6, · 1.2, · 1.2; 0.80 counts as well inside.
func TestStaircaseRun(t *testing.T) {
	s := interval.Staircase{Lengthen: 1.2, Shorten: 0.6, Within: 0.8}
	months := 12.0
	for _, c := range []struct {
		ratio, want float64
		direction   interval.Direction
	}{
		{0.45, 14.4, interval.Lengthen},
		{0.92, 14.4, interval.Keep},
		{1.20, 8.64, interval.Shorten},
		{0.79, 10.368, interval.Lengthen},
		{0.80, 12.4416, interval.Lengthen},
	} {
		p, err := s.Next(months, interval.Outcome{Subject: "scan-02", Months: 12, InTolerance: c.ratio <= 1, Ratio: &c.ratio})
		if err != nil {
			t.Fatal(err)
		}
		months = proposed(t, p)
		near(t, "months", months, c.want, 1e-12)
		if p.Direction != c.direction || p.Subject != "scan-02" || p.Method != interval.MethodStaircase {
			t.Errorf("at %g: got %+v", c.ratio, p)
		}
		near(t, "evidence", value(t, "ratio", evidence(t, p, interval.AsFoundRatio)), c.ratio, 0)
		missing(t, "confidence", p.Confidence)
	}
}

func TestStaircaseCases(t *testing.T) {
	for name, c := range map[string]struct {
		current float64
		outcome interval.Outcome
		bounds  interval.Bounds
		want    float64
		dir     interval.Direction
		says    string
	}{
		"error unknown, in tolerance": {12, interval.Outcome{InTolerance: true}, interval.Bounds{}, 12, interval.Keep, "without the error itself"},
		"error unknown, out":          {12, interval.Outcome{}, interval.Bounds{}, 6, interval.Shorten, "out of tolerance"},
		"rejected by a guard band":    {12, interval.Outcome{Ratio: new(0.95)}, interval.Bounds{}, 6, interval.Shorten, "by the decision rule"},
		"accepted beyond the limit":   {12, interval.Outcome{InTolerance: true, Ratio: new(1.05)}, interval.Bounds{}, 6, interval.Shorten, "105 % of the MPE"},
		"a quotient of decimals":      {12, interval.Outcome{InTolerance: true, Ratio: new(math.Nextafter(0.8, 1))}, interval.Bounds{}, 24, interval.Lengthen, "well inside"},
		"upper bound":                 {12, interval.Outcome{InTolerance: true, Ratio: new(0.1)}, interval.Bounds{MaxMonths: 18}, 18, interval.Lengthen, "upper bound"},
		"upper bound below current":   {24, interval.Outcome{InTolerance: true, Ratio: new(0.1)}, interval.Bounds{MaxMonths: 18}, 18, interval.Shorten, "upper bound"},
		"lower bound":                 {12, interval.Outcome{}, interval.Bounds{MinMonths: 9}, 9, interval.Shorten, "lower bound"},
		"lower bound never lengthens": {2, interval.Outcome{}, interval.Bounds{MinMonths: 3}, 2, interval.Keep, "lower bound"},
	} {
		t.Run(name, func(t *testing.T) {
			c.outcome.Months = 12
			p, err := interval.Staircase{Lengthen: 2, Shorten: 0.5, Within: 0.8, Bounds: c.bounds}.Next(c.current, c.outcome)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "months", proposed(t, p), c.want, 1e-12)
			if p.Direction != c.dir {
				t.Errorf("direction %s, want %s", p.Direction, c.dir)
			}
			says(t, p, c.says)
		})
	}
}

// Seven errors of a constructed drift; slope, residual deviation and the times at which band and line meet the limit from
// R 4.2 or SciPy. The published unit of time is the day; nothing depends on its length.
func TestControlChart(t *testing.T) {
	line := interval.Line{
		Points: 7, MeanMonths: 270 - 540, SumSquares: 226800, ErrorAtMean: 45.0 / 7,
		SlopePerMonth: 4050.0 / 226800, ResidualSD: 1.0385429,
	}
	for _, c := range []struct{ limit, line, band float64 }{{15, 750.0, 565.2464}, {25, 1310.0, 1024.3149}} {
		p, err := interval.ControlChart{Limit: c.limit, Confidence: 0.95}.Next(365, line)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "band", proposed(t, p), c.band-540, 1e-4)
		near(t, "line", value(t, "line", evidence(t, p, interval.LineMeetsLimit)), c.line-540, 1e-6)
	}
	// The mirror image meets the lower limit at the same time.
	line.ErrorAtMean, line.SlopePerMonth = -line.ErrorAtMean, -line.SlopePerMonth
	mirrored, err := interval.ControlChart{Limit: 15, Confidence: 0.95}.Next(365, line)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mirrored band", proposed(t, mirrored), 565.2464-540, 1e-4)
	if mirrored.Direction != interval.Shorten {
		t.Errorf("direction %s", mirrored.Direction)
	}
	p, err := interval.ControlChart{Limit: 15, Confidence: 0.95, Bounds: interval.Bounds{MaxMonths: 20}}.Next(20, line)
	if err != nil {
		t.Fatal(err)
	}
	if proposed(t, p) != 20 || p.Direction != interval.Keep {
		t.Errorf("got %+v", p)
	}
	missing(t, "band", evidence(t, p, interval.BandMeetsLimit))
}

// Graybill and Iyer (1994), arsenic, in Greenwell and Schubert Kabban (2014), The R Journal 6(1): the 90 % prediction band
// meets 3 at 2.6035, the line at 2.9314.
func TestControlChartArsenic(t *testing.T) {
	p, err := interval.ControlChart{Limit: 3, Confidence: 0.90}.Next(1, interval.Line{
		Points: 32, MeanMonths: 3.5, SumSquares: 168, ErrorAtMean: 0.104583 + 0.987708*3.5, SlopePerMonth: 0.987708, ResidualSD: 0.187478,
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "band", proposed(t, p), 2.6035, 5e-5)
	near(t, "line", value(t, "line", evidence(t, p, interval.LineMeetsLimit)), 2.9314, 6e-5) // the coefficients are printed to six digits
}

func TestControlChartCases(t *testing.T) {
	flat := interval.Line{Points: 5, MeanMonths: -24, SumSquares: 1440, ResidualSD: 0.5}
	for name, c := range map[string]struct {
		line   interval.Line
		limit  float64
		bounds interval.Bounds
		none   bool
		dir    interval.Direction
		says   string
	}{
		"already outside": {flat, 1, interval.Bounds{}, true, interval.Shorten, "no interval keeps it inside"},
		"flat, bounded":   {flat, 4, interval.Bounds{MaxMonths: 24}, false, interval.Lengthen, "cannot be told from 0"},
		"no scatter, no slope": {
			interval.Line{Points: 5, MeanMonths: -24, SumSquares: 1440}, 1, interval.Bounds{}, true, interval.None, "nothing to propose",
		},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := interval.ControlChart{Limit: c.limit, Confidence: 0.95, Bounds: c.bounds}.Next(12, c.line)
			if err != nil {
				t.Fatal(err)
			}
			if (p.ProposedMonths == nil) != c.none || p.Direction != c.dir {
				t.Errorf("got %v, %s", p.ProposedMonths, p.Direction)
			}
			says(t, p, c.says)
		})
	}
	for want, l := range map[string]interval.Line{
		"points is 2":        {Points: 2, SumSquares: 1},
		"sum_squares is 0":   {Points: 5},
		"residual_sd is NaN": {Points: 5, SumSquares: 1, ResidualSD: math.NaN()},
		"mean_months is +In": {Points: 5, SumSquares: 1, MeanMonths: math.Inf(1)},
	} {
		if _, err := (interval.ControlChart{Limit: 1, Confidence: 0.95}).Next(12, l); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %s …", err, want)
		}
	}
}

// By hand: 300 h in 6 months are 50 h/month; 800 h last 16 months.
func TestInUse(t *testing.T) {
	p, err := interval.InUse{Hours: 800, UsedHours: 300, OverMonths: 6}.Next(12)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "months", proposed(t, p), 16, 1e-12)
	near(t, "use", value(t, "use", evidence(t, p, interval.UsePerMonth)), 50, 1e-12)
	for _, c := range []struct {
		bounds interval.Bounds
		want   *float64
		dir    interval.Direction
	}{{interval.Bounds{}, nil, interval.None}, {interval.Bounds{MaxMonths: 24}, new(24.0), interval.Lengthen}} {
		p, err := interval.InUse{Hours: 800, OverMonths: 6, Bounds: c.bounds}.Next(12)
		if err != nil {
			t.Fatal(err)
		}
		if p.Direction != c.dir || (p.ProposedMonths == nil) != (c.want == nil) || c.want != nil && *p.ProposedMonths != *c.want {
			t.Errorf("unused: got %+v", p)
		}
	}
	if _, err := (interval.InUse{Hours: 800, UsedHours: 745, OverMonths: 1}).Next(12); err == nil {
		t.Error("745 hours in a month were accepted")
	}
}
