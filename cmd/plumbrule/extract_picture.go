package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"plumbrule/cmd/plumbrule/internal/residuals"
)

// picture draws the residuals of the fits, in the format of the file's name.
func (x *extraction) picture(w io.Writer, name string) error {
	scene := &residuals.Scene{
		Title:    "Spheres fitted in " + filepath.Base(x.file),
		Subtitle: fmt.Sprintf("%s points, %s; outliers: %s", grouped(x.result.Points), x.format, x.outliers),
		Footer:   "u: standard uncertainty by the fits alone, without errors of registration between scanning volumes",
	}
	for i := range x.result.Spheres {
		s := &x.result.Spheres[i]
		drawn := residuals.Sphere{
			Name: s.Name, CenterMM: s.CenterMM, RadiusMM: s.RadiusMM, PointsMM: s.Surface.XYZ,
			SDUM: micrometres(s.SDMM), FormUM: micrometres(s.FormMM), CoveragePercent: 100 * s.Coverage, HalfAngleDegrees: degrees(s.HalfAngle), Axis: s.Axis,
		}
		for k, kept := range s.Kept {
			p := s.Surface.XYZ[3*k : 3*k+3]
			drawn.ResidualUM = append(drawn.ResidualUM, micrometres(s.DeviationMM([3]float64{p[0], p[1], p[2]})))
			drawn.Rejected = append(drawn.Rejected, !kept)
		}
		scene.Spheres = append(scene.Spheres, drawn)
	}
	for _, d := range x.result.Distances {
		scene.Distances = append(scene.Distances, residuals.Distance{From: d.From, To: d.To, MM: d.MM, UUM: micrometres(d.UMM)})
	}
	for _, warning := range x.warnings {
		scene.Warnings = append(scene.Warnings, warning.sentence())
	}
	if strings.HasSuffix(strings.ToLower(name), ".png") {
		return residuals.PNG(w, scene)
	}
	return residuals.SVG(w, scene)
}
