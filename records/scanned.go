package records

import "plumbrule/records/quantity"

// ScanFile is one scan that readings of a check were taken from. The file
// itself need not be there for the check to be judged; see [SiteScans] for
// where it lies.
type ScanFile struct {
	File   string // path inside the repository, or the name below the site's archive
	SHA256 string // lower-case hexadecimal
	Size   int64  // bytes; 0: not stated
	Unit   string // in which the file's numbers were taken; empty: not stated
	Line   int
}

// Extraction says by what, and by which settings, the readings of a check were
// fitted from its scans.
type Extraction struct {
	Program  string // name and version
	Outliers string // rule by which points were cut: "none", "3s", "3s-repeated"
	Radius   string // "free" or "fixed" at the certified value
	Line     int
}

// Rules for cutting outliers: points further from the fitted sphere than three
// standard deviations of the residuals are taken out once, or again and again
// until none is left to take.
const (
	NoOutliersCut = "none"
	CutOnce       = "3s"
	CutUntilNone  = "3s-repeated"
)

// What a fit does with the radius of a sphere.
const (
	FreeRadius  = "free"
	FixedRadius = "fixed"
)

// Fit is what is known of how one value of a reading was fitted: of one
// feature in one scan. Features are spheres, and distances between two of them.
type Fit struct {
	Feature     string
	Scan        int                        // number of the scan, from 1
	Uncertainty quantity.LengthUncertainty // the fit's part of the uncertainty of the diameter or distance; zero for a form

	// Of a sphere:
	Points    int             // kept
	Rejected  int             // cut as outliers
	Coverage  quantity.Share  // of the sphere's surface that was seen; zero: not stated
	HalfAngle quantity.Angle  // of the cap that was seen; zero: not stated
	Form      quantity.Length // range of the residuals of the points kept
	SD        quantity.Length // standard deviation of these residuals

	Remarks []string // warnings said when it was fitted
	Line    int
}

// Share returns the share of its points that a fit cut, from 0 to 1.
func (f *Fit) Share() float64 {
	if f.Rejected == 0 {
		return 0
	}
	return float64(f.Rejected) / float64(f.Points+f.Rejected)
}

// FitOf returns how the i-th value, from 0, of a reading was fitted; nil when
// nothing was recorded of it. Scans give the values of a feature in their
// order, over all readings of the feature.
func (k *Check) FitOf(r *Reading, i int) *Fit {
	if len(k.Fits) == 0 {
		return nil
	}
	return k.FitIn(r.Feature, k.scanOf(r, i))
}

// FitIn returns the fit of a feature in a scan, by the scan's number from 1;
// nil when there is none.
func (k *Check) FitIn(feature string, scan int) *Fit {
	for i := range k.Fits {
		if k.Fits[i].Scan == scan && k.Fits[i].Feature == feature {
			return &k.Fits[i]
		}
	}
	return nil
}

// scanOf returns the number, from 1, of the scan that gave the i-th value of a
// reading of the check.
func (k *Check) scanOf(r *Reading, i int) int {
	n := i + 1
	for j := range k.Readings {
		if &k.Readings[j] == r {
			break
		}
		if k.Readings[j].Feature == r.Feature {
			n += len(k.Readings[j].Values)
		}
	}
	return n
}

// ScanNumber returns the scan of that number, from 1, or nil.
func (k *Check) ScanNumber(n int) *ScanFile {
	if n < 1 || n > len(k.Scans) {
		return nil
	}
	return &k.Scans[n-1]
}

// ExtractionSettings say how a procedure wants readings fitted from scans, and
// what a fit must show to be evidence.
type ExtractionSettings struct {
	Outliers      string         // rule for cutting; empty: [CutOnce]
	Radius        string         // empty: [FreeRadius]
	LeastPoints   int            // kept on a sphere; 0: what the feature's test asks
	LeastCoverage quantity.Share // of a sphere's surface; zero: none asked
	MostRejected  quantity.Share // of a sphere's points; zero: what the feature's test asks
	Form          string         // which points a form error is taken over; empty: [AllPoints]
	Line          int
}

// Points a form error is taken over: all that were kept, or the 95 % that lie
// in the narrowest shell.
const (
	AllPoints        = "all points"
	NinetyFivePoints = "95 %"
)

// OutlierRule returns the rule for cutting that holds.
func (e *ExtractionSettings) OutlierRule() string { return orElse(e.Outliers, CutOnce) }

// RadiusRule returns what holds for the radius.
func (e *ExtractionSettings) RadiusRule() string { return orElse(e.Radius, FreeRadius) }

// FormRule returns which points a form error is taken over.
func (e *ExtractionSettings) FormRule() string { return orElse(e.Form, AllPoints) }

func (e *ExtractionSettings) stated() bool {
	return e.Outliers != "" || e.Radius != "" || e.LeastPoints != 0 || !e.LeastCoverage.IsZero() || !e.MostRejected.IsZero() || e.Form != ""
}

func orElse(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// SiteScans says where the site keeps scans: in a folder of the repository, as
// a rule in large-file storage, or in an archive outside. With neither, scans
// are named by their path inside the repository as with a folder.
type SiteScans struct {
	Folder  string // path inside the repository
	Archive string // a path or an address outside
}

// Place returns where the scan lies that a record names, as people find it, and
// whether that is a path inside the repository.
func (s *SiteScans) Place(file string) (place string, inside bool) {
	if s.Archive == "" {
		return file, true
	}
	if last := s.Archive[len(s.Archive)-1]; last == '/' || last == '\\' {
		return s.Archive + file, false
	}
	return s.Archive + "/" + file, false
}
