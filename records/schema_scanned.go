package records

import (
	"fmt"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// Bounds of what can be fitted. A sphere has four unknowns: only a fifth point
// says something of the fit.
const (
	leastPoints   = 5
	maximumPoints = 1_000_000_000
	maximumScans  = 1000
)

func outlierRules() []string { return []string{NoOutliersCut, CutOnce, CutUntilNone} }
func radiusRules() []string  { return []string{FreeRadius, FixedRadius} }

func scanTables() key[Check] {
	scan := newKeys(
		need(text("file", "path of the scan from the repository's root, or its name below the site's archive of scans", func(s *ScanFile) *string { return &s.File })),
		need(digest("sha256", "SHA-256 of the file", func(s *ScanFile) *string { return &s.SHA256 })),
		size("size", "size of the file in bytes", func(s *ScanFile) *int64 { return &s.Size }),
		word("unit", "unit in which the file's numbers were taken; needed where readings were fitted from it", units(), func(s *ScanFile) *string { return &s.Unit }),
	)
	at := func(c *Check) *[]ScanFile { return &c.Scans }
	line := func(s *ScanFile) *int { return &s.Line }
	return orOne(tables("scan", "one scan the readings come from; the first gave the first value of each fitted reading, the second the second", scan, at, line), scan, at, line)
}

func extractionKeys() *keys[Extraction] {
	return newKeys(
		need(text("program", "name and version of the program that fitted", func(e *Extraction) *string { return &e.Program })),
		need(word("outliers", "which points were cut: those beyond three standard deviations of the residuals, once or until none is left", outlierRules(), func(e *Extraction) *string { return &e.Outliers })),
		need(word("radius", "whether the radius was fitted or held at its certified value", radiusRules(), func(e *Extraction) *string { return &e.Radius })),
	)
}

func fitKeys() *keys[Fit] {
	return newKeys(
		need(text("feature", "feature of the artifact", func(f *Fit) *string { return &f.Feature })),
		need(integer("scan", "number of the scan, from 1", 1, maximumScans, func(f *Fit) *int { return &f.Scan })),
		inText("uncertainty", uncertaintyForm, "the fit's part of the uncertainty of the diameter or distance; needed for both", quantity.ParseLengthUncertainty, func(f *Fit) *quantity.LengthUncertainty { return &f.Uncertainty }),
		integer("points", "of a sphere: points kept; needed for spheres", leastPoints, maximumPoints, func(f *Fit) *int { return &f.Points }),
		integer("rejected", "of a sphere: points cut as outliers; default 0", 0, maximumPoints, func(f *Fit) *int { return &f.Rejected }),
		share("coverage", "of a sphere: share of its surface that was seen", false, func(f *Fit) *quantity.Share { return &f.Coverage }),
		inText("half-angle", `angle, "85°"`, "of a sphere: half the opening angle of the cap that was seen", halfAngle, func(f *Fit) *quantity.Angle { return &f.HalfAngle }),
		inText("form", `length, "31.0 µm"`, "of a sphere: range of the residuals of the points kept", spread, func(f *Fit) *quantity.Length { return &f.Form }),
		inText("sd", `length, "9.1 µm"`, "of a sphere: standard deviation of these residuals", spread, func(f *Fit) *quantity.Length { return &f.SD }),
		texts("remarks", "list of texts", "warnings said when it was fitted", func(f *Fit) *[]string { return &f.Remarks }),
	)
}

func extractionSettingsKeys() *keys[ExtractionSettings] {
	return newKeys(
		word("outliers", "which points are cut: those beyond three standard deviations of the residuals, once or until none is left; default 3s", outlierRules(), func(e *ExtractionSettings) *string { return &e.Outliers }),
		word("radius", "whether the radius is fitted or held at its certified value, which hides errors of size; default free", radiusRules(), func(e *ExtractionSettings) *string { return &e.Radius }),
		integer("least-points", "points a sphere must keep; default: what the feature's test asks", leastPoints, maximumPoints, func(e *ExtractionSettings) *int { return &e.LeastPoints }),
		share("least-coverage", "share of a sphere's surface that must be seen; default none, and under 25 % is remarked on", false, func(e *ExtractionSettings) *quantity.Share { return &e.LeastCoverage }),
		share("most-rejected", "share of a sphere's points that may be cut; default: what the feature's test permits, and more than 1 % is remarked on", true, func(e *ExtractionSettings) *quantity.Share { return &e.MostRejected }),
		word("form", "points a form error is taken over: all that were kept, or those in the narrowest shell that holds 95 % of them; default all points", []string{AllPoints, NinetyFivePoints}, func(e *ExtractionSettings) *string { return &e.Form }),
	)
}

func siteScansKeys() *keys[SiteScans] {
	return newKeys(
		text("folder", "folder of this repository for scans, as a rule in large-file storage; records name them by their path from the repository's root, as they do by default", func(s *SiteScans) *string { return &s.Folder }),
		text("archive", "place outside, a path or an address, below which records name scans", func(s *SiteScans) *string { return &s.Archive }),
	)
}

// share is a key whose value is a share; zero is refused unless it can be
// meant.
func share[T any](name, doc string, zero bool, at func(*T) *quantity.Share) key[T] {
	const form = `share, "25 %" or "3 ‰"`
	k := inText(name, form, doc, quantity.ParseShare, at)
	if !zero {
		read := k.read
		k.read = func(d *decoder, n source.Node, into *T) {
			read(d, n, into)
			if s := *at(into); s.Fraction() == 0 {
				d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s, expected a share above zero", name, s), "leave the key out")
			}
		}
	}
	return k
}

// halfAngle parses the half angle of a cap of a sphere.
func halfAngle(s string) (quantity.Angle, error) {
	a, err := quantity.ParseAngle(s)
	if err == nil && !(a.Degrees() > 0 && a.Degrees() <= 180) {
		return a, outOfRange("an angle above 0° and up to 180°, the whole sphere")
	}
	return a, err
}

// spread parses a range or standard deviation: zero where points lie exactly
// on a sphere.
func spread(s string) (quantity.Length, error) {
	l, err := quantity.ParseLength(s)
	if err == nil && l.Micrometres() < 0 {
		return l, outOfRange("a length of zero or more")
	}
	return l, err
}

// dullingSpray is the key of the thickness of a matting layer. More than a
// millimetre is another unit.
func dullingSpray[T any](name, doc string, at func(*T) *quantity.Length) key[T] {
	return inText(name, `length, "8 µm"`, doc, func(s string) (quantity.Length, error) {
		l, err := positiveLength(s)
		if err == nil && l.Millimetres() > 1 {
			return l, outOfRange("a layer of at most 1 mm")
		}
		return l, err
	}, at)
}
