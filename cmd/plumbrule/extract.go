package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/sphere"
)

type extractOptions struct {
	artifact           *string
	diameter, distance *parsed[quantity.Length]
	count              *parsed[int]
	unit               *parsed[string]
	outliers           *parsed[sphere.Outliers]
	fixed              *bool
	limit              *parsed[quantity.Angle]
	spray              *parsed[quantity.Length]
	picture            *parsed[string]
	strict             *bool
}

func newExtractCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "extract SCAN",
		Short:   "find the spheres of an artifact in a scan: diameters, centres, distances",
		GroupID: groupReckon,
		Long: "Extract reads a point cloud or mesh (PLY, STL, XYZ and other text, PCD, OBJ, E57, each also gzipped), finds the spheres of a ball bar " +
			"among all else that was scanned, and fits them by geometric least squares. It needs no records: state the artifact's file, or its nominal size.\n\n" +
			"The standard uncertainties stated are those of the fits: what the scatter of the points leaves open. Errors of registration between scanning volumes " +
			"are not in them; they are what a check of the distance shows.",
		Example: "  plumbrule extract scans/2026-11-02-bar-800-direct.ply \\\n    --diameter 30mm --distance 800mm\n" +
			"  plumbrule extract scans/2026-11-02-bar-800-loop.ply \\\n    --artifact artifacts/bar-800.toml --picture bar.svg\n" +
			"  plumbrule extract scans/2026-11-02-bar-800-metres.ply --diameter 30mm \\\n    --unit m --outliers 3s-repeated --format json",
		Args:        oneScan,
		Annotations: seeAlso(statuses("0", "the spheres were found", "1", "with --strict: they were found, with warnings", "3", "the scan cannot be read, or does not show the artifact"), "record", "budget"),
	}
	flags := flagsOf(cmd)
	flags.head("What to look for")
	o := extractOptions{
		artifact: flags.text("artifact", "`FILE` of the artifact's record, such as artifacts/bar-800.toml"),
		diameter: flags.length("diameter", "nominal `DIAMETER` of the spheres, such as 30mm"),
		distance: flags.length("distance", "nominal `DISTANCE` of the outer spheres' centres, such as 800mm"),
		count:    readFlag(flags, "count", "how many spheres there are, a `NUMBER`; 2 with --distance, otherwise as many as are found", readCount),
	}
	flags.head("How to read and fit")
	o.unit = readFlag(flags, "unit", "`UNIT` of the file's numbers, where the format has none: "+strings.Join(scanUnits(), ", "), oneOf(scanUnits()...))
	o.outliers = readFlag(flags, "outliers", "`RULE` for deviating points: none, 3s (one cut at three standard deviations) or 3s-repeated; 3s if not given", sphere.ParseOutliers)
	o.fixed = flags.yes("fixed", "hold the radii at their nominal values; steadies the centres, says nothing of the size")
	o.limit = readFlag(flags, "cap", "fit only a cap of this half-`ANGLE` about the middle of what was seen, such as 60°", quantity.ParseAngle)
	o.spray = flags.length("dulling-spray", "`THICKNESS` of a matting layer on the spheres, to be warned of what it adds")
	flags.head("What to show")
	o.picture = readFlag(flags, "picture", "draw the residuals on each sphere and the bar into a `FILE`, .svg or .png", pictureName)
	o.strict = flags.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if err := e.apart(o.picture.value, args[0], *o.artifact); err != nil {
			return err
		}
		x, err := e.extract(cmd.Context(), args[0], &o)
		if err != nil {
			return err
		}
		if o.picture.given() {
			if err := e.writeOutput(o.picture.value, func(w io.Writer) error { return x.picture(w, o.picture.value) }); err != nil {
				return err
			}
		}
		if err := e.print(formatOf(cmd), x.answer()); err != nil {
			return err
		}
		return attention(*o.strict, slices.ContainsFunc(x.warnings, func(w warned) bool { return !w.note() }))
	}
	return cmd
}

// apart refuses a picture that would take the place of a file it is made from.
func (e env) apart(picture string, inputs ...string) error {
	if picture == "" {
		return nil
	}
	there, err := os.Stat(e.path(picture))
	if err != nil {
		return nil //nolint:nilerr // nothing is there that could be lost
	}
	for _, input := range inputs {
		if info, err := os.Stat(e.path(input)); input != "" && err == nil && os.SameFile(there, info) {
			return misused(fmt.Sprintf("--picture %s is the file %s, expected another", picture, input), "name a file that does not exist yet")
		}
	}
	return nil
}

func oneScan(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return misused(fmt.Sprintf("%s named, expected one scan", counted(len(args), "file")), "name one file, for example bar.ply")
	}
	return nil
}

func readCount(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 26 {
		return 0, misused(strconv.Quote(text)+", expected a number of spheres from 1 to 26", "count the spheres of the artifact")
	}
	return n, nil
}

// pictureName takes the name of a picture file in a format that can be drawn.
func pictureName(text string) (string, error) {
	switch strings.ToLower(filepath.Ext(text)) {
	case ".svg", ".png":
		return text, nil
	}
	return "", misused(strconv.Quote(text)+", expected a name that ends in .svg or .png", "give the picture such a name")
}

// extraction is a scan with what was found in it.
type extraction struct {
	file     string
	unit     string
	stated   bool // the unit was stated, by the user or the file
	format   string
	result   *sphere.Result
	wanted   sphere.Wanted
	outliers sphere.Outliers
	fixed    bool
	warnings []warned
}

// unitTaken is the code of the warning that millimetres were taken for want of a stated unit.
const unitTaken = "unit-taken"

type warned struct{ code, about, text string }

// note reports whether it is only to be known, with nothing amiss in the scan.
func (w warned) note() bool { return w.code == unitTaken || w.code == "symmetric" }

// label is the word before it in print.
func (w warned) label() string {
	if w.note() {
		return "note: "
	}
	return "warning: "
}

func (e env) extract(ctx context.Context, name string, o *extractOptions) (*extraction, error) {
	wanted, err := o.wanted(e)
	if err != nil {
		return nil, err
	}
	s := spheresOf{outliers: o.outliers.value, fixed: *o.fixed, keep: o.picture.given()}
	if o.limit.given() {
		s.limit = o.limit.value.Radians()
	}
	x, err := e.spheres(ctx, name, o.unit.value, wanted, s)
	if err == nil && o.spray.given() {
		x.spray(o.spray.value)
	}
	return x, err
}

// spheresOf says how spheres are to be fitted.
type spheresOf struct {
	outliers sphere.Outliers
	fixed    bool
	limit    float64
	keep     bool
}

// spheres finds and fits the spheres wanted in a scan.
func (e env) spheres(ctx context.Context, name, unit string, wanted sphere.Wanted, how spheresOf) (*extraction, error) {
	// Nearly all memory is the points kept: collecting garbage more often costs little time and keeps the peak near to it.
	defer debug.SetGCPercent(debug.SetGCPercent(30))
	file, err := e.openScan(name, unit)
	if err != nil {
		return nil, err
	}
	defer file.close()
	defer file.meter.end()
	x := &extraction{
		file: name, unit: firstOf(file.unit, "mm"), stated: file.unit != "", format: file.cloud.Head.Format,
		wanted: wanted, outliers: firstRule(how.outliers), fixed: how.fixed,
	}
	x.result, err = sphere.Extract(ctx, file, wanted, sphere.Options{
		MMPerUnit: file.mm, UnitStated: x.stated, Outliers: how.outliers, Fixed: how.fixed, CapHalfAngle: how.limit,
		KeepPoints: how.keep, Step: file.step, Workers: runtime.GOMAXPROCS(0),
	})
	if err != nil {
		for _, text := range file.tally.Warnings { // they may be the reason
			fmt.Fprintf(e.Stderr, "plumbrule: warning: %s: %s\n", show.Text(name), show.Text(text))
		}
		return nil, sphereFault(name, err)
	}
	if !x.stated {
		x.warn(unitTaken, "", "the file does not say its unit; millimetres are taken, in which its spheres have the size wanted")
	}
	for _, text := range file.tally.Warnings {
		x.warn("file", "", text)
	}
	for _, w := range x.result.Warnings {
		x.warn(w.Code, w.Sphere, w.Text)
	}
	return x, nil
}

func firstRule(o sphere.Outliers) sphere.Outliers {
	if o == "" {
		return sphere.CutOnce
	}
	return o
}

func (x *extraction) warn(code, about, text string) {
	x.warnings = append(x.warnings, warned{code, about, text})
}

// spray warns of what a matting layer adds to diameters.
func (x *extraction) spray(thickness quantity.Length) {
	x.warn("dulling-spray", "", fmt.Sprintf("a matting layer of %s makes diameters %.1f µm larger; it is not corrected, and centre distances do not change", thickness, 2*thickness.Micrometres()))
}

// wanted makes of the flags what to look for.
func (o *extractOptions) wanted(e env) (sphere.Wanted, error) {
	switch {
	case *o.artifact != "" && (o.diameter.given() || o.distance.given() || o.count.given()):
		return sphere.Wanted{}, misused("both --artifact and a nominal size, expected one of them", "leave out --diameter, --distance and --count: the artifact's record says them")
	case *o.artifact != "":
		return e.wantedOf(*o.artifact)
	case !o.diameter.given():
		return sphere.Wanted{}, misused("neither --artifact nor --diameter, expected what to look for", "give the file of the artifact's record, or for example --diameter 30mm --distance 800mm")
	}
	w := sphere.Wanted{AnyNumber: !o.count.given() && !o.distance.given(), AllDistances: true}
	count := 2
	if o.count.given() {
		count = o.count.value
	}
	if w.AnyNumber {
		count = 1
	}
	for i := range count {
		w.Spheres = append(w.Spheres, sphere.NominalSphere{Name: string(rune('A' + i)), DiameterMM: o.diameter.value.Millimetres()})
	}
	if o.distance.given() {
		if count < 2 {
			return w, misused("--distance with one sphere, expected two at least", "leave out --distance or --count")
		}
		w.Distances = []sphere.NominalDistance{{From: "A", To: w.Spheres[count-1].Name, MM: o.distance.value.Millimetres()}}
	}
	return w, nil
}

// wantedOf reads what to look for from an artifact's record.
func (e env) wantedOf(name string) (sphere.Wanted, error) {
	path := e.path(name)
	a, diagnostics := records.ReadArtifact(os.DirFS(filepath.Dir(path)), filepath.Base(path))
	for i := range diagnostics {
		diagnostics[i].File = name
	}
	e.complain(diagnostics)
	if a == nil {
		return sphere.Wanted{}, unreadable(name+": no artifact's record that can be used", "mend what is listed above, or name another file", nil)
	}
	return wantedOfArtifact(a)
}

// wantedOfArtifact lists the spheres of an artifact and the distances between them.
func wantedOfArtifact(a *records.Artifact) (w sphere.Wanted, err error) {
	for i := range a.Features {
		if f := &a.Features[i]; f.Quantity == records.Diameter {
			w.Spheres = append(w.Spheres, sphere.NominalSphere{Name: f.Name, DiameterMM: f.Nominal.Millimetres()})
		}
	}
	if len(w.Spheres) == 0 {
		return w, unreadable(fmt.Sprintf("%s: the artifact has no sphere", a.File), "name an artifact with features of quantity diameter", nil)
	}
	for i := range a.Features {
		f := &a.Features[i]
		if f.Quantity != records.Distance || len(f.Between) != 2 {
			continue
		}
		w.Distances = append(w.Distances, sphere.NominalDistance{From: f.Between[0], To: f.Between[1], MM: f.Nominal.Millimetres()})
	}
	return w, nil
}

// micrometres of a length in millimetres, for print.
func micrometres(mm float64) float64 { return float64(mm * 1000) }

// degrees of an angle in radians, for print.
func degrees(radians float64) float64 { return radians * 180 / math.Pi }
