package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/sphere"
)

// extractJSON is what extract prints as JSON.
type extractJSON struct {
	File      string                `json:"file"`
	Format    string                `json:"format"`
	Unit      string                `json:"unit"`
	Points    int64                 `json:"points"`
	Outliers  string                `json:"outliers"`
	Fixed     bool                  `json:"fixed_radius"`
	Spheres   []extractSphereJSON   `json:"spheres"`
	Distances []extractDistanceJSON `json:"distances"`
	Closures  []extractClosureJSON  `json:"closures"`
	Warnings  []string              `json:"warnings"`
	Findings  []extractFindingJSON  `json:"findings"`
}

type extractSphereJSON struct {
	Name            string   `json:"name"`
	XMM             float64  `json:"x_mm"`
	YMM             float64  `json:"y_mm"`
	ZMM             float64  `json:"z_mm"`
	UXUM            float64  `json:"u_x_um"`
	UYUM            float64  `json:"u_y_um"`
	UZUM            float64  `json:"u_z_um"`
	DiameterMM      float64  `json:"diameter_mm"`
	UDiameterUM     *float64 `json:"u_diameter_um"` // null: the radius was held fixed, and nothing measured of it
	FreeDiameterMM  float64  `json:"free_diameter_mm"`
	UFreeDiameterUM float64  `json:"u_free_diameter_um"`
	FormUM          float64  `json:"form_um"`
	Form95UM        float64  `json:"form_95_um"`
	SDUM            float64  `json:"sd_um"`
	Kept            int      `json:"kept"`
	Rejected        int      `json:"rejected"`
	CoveragePercent float64  `json:"coverage_percent"`
	HalfAngleDeg    float64  `json:"half_angle_deg"`
}

type extractDistanceJSON struct {
	From string  `json:"from"`
	To   string  `json:"to"`
	MM   float64 `json:"mm"`
	UUM  float64 `json:"u_um"`
}

type extractClosureJSON struct {
	Sphere string  `json:"sphere"`
	XUM    float64 `json:"x_um"`
	YUM    float64 `json:"y_um"`
	ZUM    float64 `json:"z_um"`
	UM     float64 `json:"um"`
	UUM    float64 `json:"u_um"`
}

type extractFindingJSON struct {
	Code     string `json:"code"`
	Severity string `json:"severity"` // "warning", or "note" where nothing is amiss
	Sphere   string `json:"sphere"`
	Sentence string `json:"sentence"`
}

func (x *extraction) answer() answer {
	a := answer{JSON: x.json(), CSV: x.csv(), Table: x.table()}
	a.Above = append(a.Above, fmt.Sprintf("%s: %s, %s points, in %s", x.file, x.format, grouped(x.result.Points), x.unit))
	a.Below = append(a.Below, x.sentences()...)
	return a
}

func (x *extraction) json() extractJSON {
	out := extractJSON{
		File: x.file, Format: x.format, Unit: x.unit, Points: x.result.Points, Outliers: string(x.outliers), Fixed: x.fixed,
		Spheres: []extractSphereJSON{}, Distances: []extractDistanceJSON{}, Closures: []extractClosureJSON{}, Warnings: []string{}, Findings: []extractFindingJSON{},
	}
	for i := range x.result.Spheres {
		s := &x.result.Spheres[i]
		row := extractSphereJSON{
			Name: s.Name, XMM: s.CenterMM[0], YMM: s.CenterMM[1], ZMM: s.CenterMM[2],
			UXUM: micrometres(s.UCenterMM[0]), UYUM: micrometres(s.UCenterMM[1]), UZUM: micrometres(s.UCenterMM[2]),
			DiameterMM: 2 * s.RadiusMM, FreeDiameterMM: s.FreeDiameterMM, UFreeDiameterUM: micrometres(s.UFreeMM),
			FormUM: micrometres(s.FormMM), Form95UM: micrometres(s.Form95MM), SDUM: micrometres(s.SDMM),
			Kept: s.Points, Rejected: s.Rejected, CoveragePercent: 100 * s.Coverage, HalfAngleDeg: degrees(s.HalfAngle),
		}
		if !x.fixed {
			u := micrometres(s.UDiameterMM)
			row.UDiameterUM = &u
		}
		out.Spheres = append(out.Spheres, row)
	}
	for _, d := range x.result.Distances {
		out.Distances = append(out.Distances, extractDistanceJSON{d.From, d.To, d.MM, micrometres(d.UMM)})
	}
	for _, c := range x.result.Closures {
		out.Closures = append(out.Closures, extractClosureJSON{
			c.Sphere, micrometres(c.Vector[0]), micrometres(c.Vector[1]), micrometres(c.Vector[2]), micrometres(c.MM), micrometres(c.UMM),
		})
	}
	for _, w := range x.warnings {
		out.Warnings = append(out.Warnings, w.sentence())
		out.Findings = append(out.Findings, extractFindingJSON{w.code, strings.TrimSuffix(w.label(), ": "), w.about, w.text})
	}
	return out
}

func (w warned) sentence() string {
	if w.about == "" {
		return w.text
	}
	return "sphere " + w.about + ": " + w.text
}

func (x *extraction) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: ""},
		{Title: "measured", Unit: "mm", Align: table.Decimal},
		{Title: "u", Unit: "µm", Align: table.Decimal},
		{Title: "s", Unit: "µm", Align: table.Decimal},
		{Title: "form", Unit: "µm", Align: table.Decimal},
		{Title: "points", Align: table.Decimal},
		{Title: "cut", Align: table.Decimal},
		{Title: "seen", Unit: "%", Align: table.Decimal},
		{Title: "cap", Unit: "°", Align: table.Decimal},
	}}
	for i := range x.result.Spheres {
		s := &x.result.Spheres[i]
		u := table.None()
		if !x.fixed {
			u = numberCell(micrometres(s.UDiameterMM), 2)
		}
		t.Add(table.Text("Ø "+s.Name), numberCell(2*s.RadiusMM, 4), u, numberCell(micrometres(s.SDMM), 1), numberCell(micrometres(s.FormMM), 1),
			numberCell(float64(s.Points), 0), numberCell(float64(s.Rejected), 0), numberCell(100*s.Coverage, 0), numberCell(degrees(s.HalfAngle), 0))
	}
	for _, d := range x.result.Distances {
		blank := table.Text("") // not "none": a distance has no points of its own
		t.Add(table.Text(d.From+"-"+d.To), numberCell(d.MM, 4), numberCell(micrometres(d.UMM), 2), blank, blank, blank, blank, blank, blank)
	}
	return t
}

func numberCell(v float64, digits int) table.Cell { return table.Number(show.Fixed(v, digits), v) }

// sentences say what the table rests on and what is to be known beside it.
func (x *extraction) sentences() (out []string) {
	for _, w := range x.warnings {
		out = append(out, w.label()+w.sentence())
	}
	for _, r := range sphere.OutlierRules() {
		if r.Name == x.outliers {
			out = append(out, fmt.Sprintf("outliers: %s: %s", r.Name, r.Text))
		}
	}
	if x.fixed {
		var free []string
		for i := range x.result.Spheres {
			s := &x.result.Spheres[i]
			free = append(free, fmt.Sprintf("%s %s mm (u = %s µm)", s.Name, show.Fixed(s.FreeDiameterMM, 4), show.Fixed(micrometres(s.UFreeMM), 2)))
		}
		out = append(out, "radii held at their nominal values; free they would give diameters "+strings.Join(free, ", "))
	}
	return append(out, "u: standard uncertainty by the fits alone; errors of registration between scanning volumes are not in it. "+
		"Form: largest minus smallest deviation of the points kept; cap: half-angle of the part seen.")
}

func (x *extraction) csv() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "kind"},
		{Title: "name"},
		{Title: "mm"},
		{Title: "u", Unit: "um"},
		{Title: "x", Unit: "mm"},
		{Title: "y", Unit: "mm"},
		{Title: "z", Unit: "mm"},
		{Title: "sd", Unit: "um"},
		{Title: "form", Unit: "um"},
		{Title: "kept"},
		{Title: "rejected"},
		{Title: "coverage", Unit: "percent"},
	}}
	for i := range x.result.Spheres {
		s := &x.result.Spheres[i]
		u := table.None()
		if !x.fixed {
			u = numberCell(micrometres(s.UDiameterMM), 3)
		}
		t.Add(table.Text("diameter"), table.Text(s.Name), numberCell(2*s.RadiusMM, 6), u, numberCell(s.CenterMM[0], 6), numberCell(s.CenterMM[1], 6), numberCell(s.CenterMM[2], 6),
			numberCell(micrometres(s.SDMM), 3), numberCell(micrometres(s.FormMM), 3), numberCell(float64(s.Points), 0), numberCell(float64(s.Rejected), 0), numberCell(100*s.Coverage, 1))
	}
	for _, d := range x.result.Distances {
		none := table.None()
		t.Add(table.Text("distance"), table.Text(d.From+"-"+d.To), numberCell(d.MM, 6), numberCell(micrometres(d.UMM), 3), none, none, none, none, none, none, none, none)
	}
	return t
}

// grouped writes a whole number in groups of three digits.
func grouped(n int64) string {
	digits := fmt.Sprint(n)
	var out []string
	for len(digits) > 3 {
		out = append([]string{digits[len(digits)-3:]}, out...)
		digits = digits[:len(digits)-3]
	}
	return strings.Join(append([]string{digits}, out...), " ")
}
