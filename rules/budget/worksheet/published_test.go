package worksheet_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
	"plumbrule/rules/budget/worksheet"
	data "plumbrule/rules/published"
)

func published(t *testing.T, name string) *worksheet.Sheet {
	t.Helper()
	text, err := data.Data(name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	sheet, faults := worksheet.Read(text)
	for _, f := range faults {
		t.Fatalf("%s:%s", name, f.Error())
	}
	return sheet
}

func evaluated(t *testing.T, s *worksheet.Sheet) propagation.Result {
	t.Helper()
	r, err := s.Budget.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// agrees compares with a figure to the digits it was printed with.
func agrees(t *testing.T, what string, got float64, want string) {
	t.Helper()
	_, decimals, _ := strings.Cut(want, ".")
	if text := fmt.Sprintf("%.*f", len(decimals), got); text != want {
		t.Errorf("%s = %s, want %s", what, text, want)
	}
}

// The examples of JCGM 100, JCGM 101 and EA-4/02, read from files as a user writes them. Figures are recomputed from unrounded
// inputs; the published ones, rounded on the way, stand beside them.
func TestPublished(t *testing.T) {
	for _, tt := range []struct{ name, value, u, k, expanded string }{
		{"gum-h1", "50000838", "31.66", "2.921", "92.5"},                  // 32, 2.92, 93
		{"gum-h2-resistance", "127.73217", "0.071071", "2.776", "0.1973"}, // 127.732, 0.071
		{"gum-h2-reactance", "219.84651", "0.295582", "2.776", "0.8207"},  // 219.847, 0.295
		{"gum-h2-impedance", "254.25970", "0.236336", "2.776", "0.6562"},  // 254.260, 0.236
		{"ea-s2", "25", "29.262", "2.0", "58.5"},                          // 29.3, 59
		{"ea-s4", "-74", "36.394", "2.0", "72.8"},                         // 36.4, 73
		{"ea-s10", "0.10", "0.032340", "1.834", "0.0593"},                 // 0.033, 1.83, 0.06
		{"jcgm101-sum", "0", "2.000", "1.960", "3.92"},                    // 2.0, 3.92
		{"jcgm101-mass", "1.2340", "0.0750", "1.960", "0.147"},            // 1.2340, 0.0750, [1.0870, 1.3810]
		{"jcgm101-loss", "2500", "500", "1.960", "980"},                   // [1520, 3480]
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := evaluated(t, published(t, tt.name))
			agrees(t, "value", r.Value, tt.value)
			agrees(t, "u_c", r.CombinedU, tt.u)
			agrees(t, "k", *r.CoverageFactor.Value, tt.k)
			agrees(t, "U", *r.ExpandedU.Value, tt.expanded)
		})
	}
}

// GUM H.1 stated as the certificate and the data sheets do: the standard uncertainties and degrees of freedom of its table.
func TestGaugeBlockInputs(t *testing.T) {
	s := published(t, "gum-h1")
	for i, want := range []struct{ u, nu string }{
		{"25.0", "18"}, {"5.81", "24"}, {"3.89", "5"}, {"6.67", "8"}, {"0.0000012", ""}, {"0.200", ""}, {"0.35", ""}, {"0.00000058", "50"}, {"0.029", "2"},
	} {
		in := s.Budget.Inputs[i]
		agrees(t, in.Name, in.U, want.u)
		if want.nu == "" && !math.IsInf(in.DegreesOfFreedom, 1) {
			t.Errorf("%s: ν = %g", in.Name, in.DegreesOfFreedom)
		} else if want.nu != "" {
			agrees(t, "ν of "+in.Name, in.DegreesOfFreedom, want.nu)
		}
	}
	r := evaluated(t, s)
	agrees(t, "ν_eff", math.Floor(*r.EffectiveDOF.Value), "16")
	agrees(t, "second order", *r.Second.U.Value, "33.8") // 34
}

// The same file by trials is JCGM 101:2008 9.5: u = 36, 95 % shortest [768, 908]; its comparator parts are rounded to 4 and 7.
func TestGaugeBlockTrials(t *testing.T) {
	s := published(t, "gum-h1")
	for i, want := range map[int]law.Law{
		0: {Kind: law.Student, Centre: 50_000_623, Width: 25, Shape: 18},
		6: {Kind: law.Arcsine, Width: 0.5},
		7: {Kind: law.CurvilinearTrapezoidal, Width: 1e-6, Shape: 0.1e-6},
		8: {Kind: law.CurvilinearTrapezoidal, Width: 0.05, Shape: 0.025},
	} {
		if got := s.Budget.Inputs[i].Law; got.Kind != want.Kind || got.Centre != want.Centre || got.Width != want.Width || math.Abs(got.Shape-want.Shape) > 1e-12*want.Shape {
			t.Errorf("%s is drawn from %+v, want %+v", s.Budget.Inputs[i].Name, got, want)
		}
	}
	p, err := montecarlo.Prepare(&s.Budget)
	if err != nil {
		t.Fatal(err)
	}
	r, err := p.Run(montecarlo.Options{Trials: 1_000_000, Seed: 1, Probability: 0.95, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	agrees(t, "mean", *r.Mean.Value-50e6, "838")
	agrees(t, "u", *r.U.Value, "36")
	if math.Abs(r.Symmetric.Low-50_000_768) > 1 || math.Abs(r.Symmetric.High-50_000_908) > 1 {
		t.Errorf("interval %+v", r.Symmetric)
	}
}
