package choose

import (
	"math"
	"strings"
	"testing"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

func limitOf(tb testing.TB, mpe string) *records.Limit {
	tb.Helper()
	m, err := quantity.ParseMPE(mpe)
	if err != nil {
		tb.Fatal(err)
	}
	return &records.Limit{Quantity: records.Distance, MPE: m, Length: records.PathLength}
}

func errorsAt(lengthM, mpeUM float64, errorsUM ...float64) (out []rules.Observed) {
	for _, e := range errorsUM {
		out = append(out, rules.Observed{Check: &records.Check{}, Length: quantity.Metres(lengthM), ErrorUM: e, MPEUM: mpeUM})
	}
	return out
}

func noDay(*records.Check) calendar.Date { return calendar.Date{} }

// Mean 3, s = √2.5 of 1 … 5; t(4) = 2.7764 at 95 % two-sided (JCGM 100:2008, table G.2, more digits computed);
// half width 2.7764·√2.5·√(6/5) = 4.8089.
func TestObservedInterval(t *testing.T) {
	o := observe(errorsAt(1, 30, 1, 2, 3, 4, 5), limitOf(t, "30 µm"), 9, 30, noDay)
	if *o.MeanUM.Value != 3 || math.Abs(*o.LowerUM.Value+1.8089) > 1e-4 || math.Abs(*o.UpperUM.Value-7.8089) > 1e-4 || o.Errors != 5 || o.Checks != 5 {
		t.Errorf("%+v: %v, %v … %v", o, *o.MeanUM.Value, *o.LowerUM.Value, *o.UpperUM.Value)
	}
}

// Errors found beside 50 µm at 2 m count for 35 µm at 1 m as 35/50 of themselves, and for 3 m not at all.
func TestObservedIsScaledOnlyWhereTheLimitAllows(t *testing.T) {
	list := errorsAt(2, 50, 10, 20, 30, 40, 50)
	if o := observe(list, limitOf(t, "20 µm + 15 µm/m"), 1, 35, noDay); math.Abs(*o.MeanUM.Value-21) > 1e-12 {
		t.Errorf("mean %v, want 30·35/50 = 21", *o.MeanUM.Value)
	}
	for why, o := range map[string]Observed{
		"nothing is known beyond": observe(list, limitOf(t, "20 µm + 15 µm/m"), 3, 65, noDay),
		"capped":                  observe(list, limitOf(t, "min(20 µm + 15 µm/m, 60 µm)"), 1, 35, noDay),
		"expected at least 5":     observe(list[:4], limitOf(t, "30 µm"), 1, 35, noDay),
		"no check is evidence":    observe(nil, limitOf(t, "30 µm"), 1, 35, noDay),
	} {
		if o.MeanUM.Value != nil || !strings.Contains(o.MeanUM.Reason, why) {
			t.Errorf("%s: %+v", why, o.MeanUM)
		}
	}
}

// Of errors beside a limit of 30 µm those of 31 and -40 lie outside, the second farther.
func TestObservedOutsideIsCounted(t *testing.T) {
	o := observe(errorsAt(1, 30, 1, 31, -40, 4, 30), limitOf(t, "30 µm"), 1, 30, noDay)
	if o.Outside != 2 || o.FarthestUM != -40 {
		t.Errorf("%d outside, the farthest %v", o.Outside, o.FarthestUM)
	}
}
