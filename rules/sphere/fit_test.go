package sphere_test

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"plumbrule/rules/sphere"
)

// closedForm are spheres with deviations f(u) for which Σf = 0 and Σf·u = 0: then centre and radius they were made with
// are those of the geometric least-squares fit, exactly. The values expected were computed with 60 digits.
type closedForm struct {
	Name     string       `json:"name"`
	Unit     string       `json:"unit"`
	Points   [][3]float64 `json:"points"`
	Expected struct {
		Centre [3]string `json:"centre"`
		Radius string    `json:"radius"`
		S      string    `json:"s"`
		Range  string    `json:"range"`
	} `json:"expected"`
	Cofactors [4][4]float64 `json:"cofactors"`
	Tolerance float64       `json:"tolerance"`
	WithCut   *struct {
		Kept   int       `json:"kept"`
		Centre [3]string `json:"centre"`
		Radius string    `json:"radius"`
		S      string    `json:"s"`
	} `json:"with_cut"`
}

func closedForms(t *testing.T) []closedForm {
	t.Helper()
	text, err := os.ReadFile("testdata/closed-form.json")
	if err != nil {
		t.Fatal(err)
	}
	var all struct {
		Cases []closedForm `json:"cases"`
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Cases) != 8 {
		t.Fatalf("%d cases, want 8", len(all.Cases))
	}
	return all.Cases
}

func (c *closedForm) points() (p sphere.Points) {
	for _, q := range c.Points {
		p.XYZ = append(p.XYZ, q[:]...)
	}
	return p
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.15g, want %.15g within %g", what, got, want, tolerance)
	}
}

func TestFitClosedForm(t *testing.T) {
	for _, c := range closedForms(t) {
		t.Run(c.Name, func(t *testing.T) {
			for _, workers := range []int{1, 4} {
				f, err := sphere.FitPoints(c.points(), sphere.FitOptions{Workers: workers})
				if err != nil {
					t.Fatal(err)
				}
				for i := range 3 {
					near(t, "centre", f.CenterMM[i], number(t, c.Expected.Centre[i]), c.Tolerance)
				}
				near(t, "radius", f.RadiusMM, number(t, c.Expected.Radius), c.Tolerance)
				s := number(t, c.Expected.S)
				near(t, "s", f.SDMM, s, 1e-9*s+c.Tolerance)
				for i := range 4 {
					for k := range 4 {
						near(t, "cofactor", f.Cofactors[i][k], c.Cofactors[i][k], 1e-9)
					}
				}
			}
			if c.WithCut == nil {
				return
			}
			cut, err := sphere.FitCut(c.points(), sphere.CutOnce, 0, sphere.FitOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if cut.Points != c.WithCut.Kept || cut.Count != len(c.Points)-c.WithCut.Kept {
				t.Errorf("kept %d, rejected %d, want %d kept", cut.Points, cut.Count, c.WithCut.Kept)
			}
			for i := range 3 {
				near(t, "centre after the cut", cut.CenterMM[i], number(t, c.WithCut.Centre[i]), c.Tolerance)
			}
			near(t, "radius after the cut", cut.RadiusMM, number(t, c.WithCut.Radius), c.Tolerance)
			near(t, "s after the cut", cut.SDMM, number(t, c.WithCut.S), 1e-12)
		})
	}
}
