package residuals

// Scene is what to draw.
type Scene struct {
	Title    string // heads the drawing; empty: "Fitted spheres"
	Subtitle string // below it, in one or two lines

	Spheres   []Sphere
	Distances []Distance

	Warnings []string // sentences told beneath the drawing
	Footer   string   // small print at the very end
}

// Sphere is one fitted sphere and the points it was fitted to. Lengths of the sphere are in millimetres in the scan's
// frame, residuals in micrometres.
type Sphere struct {
	Name     string // unique in the scene
	CenterMM [3]float64
	RadiusMM float64

	PointsMM   []float64 // x, y, z of each point
	ResidualUM []float64 // of each point, positive outside the sphere
	Rejected   []bool    // of each point: left out of the fit; nil: none was

	SDUM             float64    // standard deviation s of the residuals kept; the map's colours reach to 3 s
	FormUM           float64    // largest minus smallest residual kept
	CoveragePercent  float64    // share of the sphere's surface that points cover
	HalfAngleDegrees float64    // of the seen cap, from its middle to its rim
	Axis             [3]float64 // from the centre to the middle of the seen cap; any length but zero

	Verdict string // in a word or two; empty: none
}

// Distance is the distance between the centres of two spheres.
type Distance struct {
	From, To string  // names of spheres
	MM       float64 // in millimetres
	UUM      float64 // its standard uncertainty in micrometres; 0: not stated
}

// kept tells whether a point belongs to the fit.
func (s *Sphere) kept(i int) bool { return s.Rejected == nil || !s.Rejected[i] }

// count returns how many points were kept and rejected.
func (s *Sphere) count() (kept, rejected int) {
	for _, out := range s.Rejected {
		if out {
			rejected++
		}
	}
	return len(s.ResidualUM) - rejected, rejected
}

// sphere finds a sphere by its name; -1: there is none.
func (s *Scene) sphere(name string) int {
	for i := range s.Spheres {
		if s.Spheres[i].Name == name {
			return i
		}
	}
	return -1
}
