package sphere

// Result is what a scan shows of an artifact.
type Result struct {
	Points    int64 // of the whole scan
	Spheres   []Sphere
	Distances []Distance
	Closures  []Closure
	Warnings  []Warning

	// Ambiguous: the artifact looks the same with its spheres exchanged, and the names follow the order of the scan.
	Ambiguous bool
}

// Sphere is one sphere of the artifact as the scan shows it.
type Sphere struct {
	Name string
	Fit
	Shape

	// UDiameterMM and UCenterMM are standard uncertainties by the fit alone: its covariance, with s widened by what a cut takes
	// off it, and a third of what the cut has moved, for strays left inside. The diameter's is 0 for a fixed radius, which
	// nothing was measured of.
	UDiameterMM float64
	UCenterMM   vector // along x, y and z

	Rejected int // points of the surface left out by the rule for outliers

	// FreeDiameterMM is the diameter with a free radius, and UFreeMM its standard uncertainty: the same as the sphere's own
	// unless its radius was fixed.
	FreeDiameterMM, UFreeMM float64

	// Surface are the points taken for the sphere's surface, and Kept those of them that were fitted; for pictures, if asked.
	Surface Points
	Kept    []bool

	cut Cut
}

// Distance is a distance between two centres.
type Distance struct {
	From, To string
	MM       float64
	UMM      float64 // standard uncertainty by the fits of the two spheres alone
}

// Closure is how far the centre of a sphere that was scanned again later lies from its first place.
type Closure struct {
	Sphere string
	Vector vector // from the first to the last scan
	MM     float64
	UMM    float64
}

// Warning is something to be known beside the figures.
type Warning struct {
	Code   string
	Sphere string // empty: about the whole
	Text   string // a sentence without the sphere's name
}

func (r *Result) warn(code, sphere, text string) {
	r.Warnings = append(r.Warnings, Warning{code, sphere, text})
}

// Named returns the sphere of that name, or nil.
func (r *Result) Named(name string) *Sphere {
	for i := range r.Spheres {
		if r.Spheres[i].Name == name {
			return &r.Spheres[i]
		}
	}
	return nil
}
