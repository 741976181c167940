package sphere

import (
	"fmt"
	"math"
)

// Wanted is what an artifact has to show: its spheres by name with nominal diameters, and nominal distances between them.
type Wanted struct {
	Spheres   []NominalSphere
	Distances []NominalDistance

	// AnyNumber takes every sphere there is of the first one's size, and ignores the rest of Spheres.
	AnyNumber bool

	// AllDistances asks for the distance of every two spheres, not only of those in Distances.
	AllDistances bool
}

// measured lists the distances to be given: those wanted, and with AllDistances the others as well.
func (w *Wanted) measured() []NominalDistance {
	if !w.AllDistances {
		return w.Distances
	}
	var out []NominalDistance
	for i := range w.Spheres {
		for k := i + 1; k < len(w.Spheres); k++ {
			out = append(out, NominalDistance{From: w.Spheres[i].Name, To: w.Spheres[k].Name})
		}
	}
	return out
}

// NominalSphere is a sphere to be found.
type NominalSphere struct {
	Name       string
	DiameterMM float64
}

// NominalDistance is a distance between the centres of two spheres to be found.
type NominalDistance struct {
	From, To string
	MM       float64
}

// check reports what is wrong with what is wanted.
func (w *Wanted) check() error {
	if len(w.Spheres) == 0 {
		return &Error{Reason: BadRequest, Found: "no sphere to look for", Mend: "state at least one diameter"}
	}
	known := map[string]bool{}
	for _, s := range w.Spheres {
		if known[s.Name] {
			return &Error{Reason: BadRequest, Found: fmt.Sprintf("two spheres are named %s", s.Name), Mend: "give each a name of its own"}
		}
		known[s.Name] = true
		if !(s.DiameterMM > 0) || math.IsInf(s.DiameterMM, 0) {
			return &Error{Reason: BadRequest, Found: fmt.Sprintf("sphere %s has a diameter of %g mm", s.Name, s.DiameterMM), Mend: "state a diameter above 0"}
		}
	}
	for _, d := range w.Distances {
		switch {
		case !known[d.From] || !known[d.To] || d.From == d.To:
			return &Error{Reason: BadRequest, Found: fmt.Sprintf("a distance lies between %s and %s, which are not two of the spheres", d.From, d.To), Mend: "name the spheres it lies between"}
		case !(d.MM > 0) || math.IsInf(d.MM, 0):
			return &Error{Reason: BadRequest, Found: fmt.Sprintf("the distance %s-%s is %g mm", d.From, d.To, d.MM), Mend: "state a distance above 0"}
		}
	}
	return nil
}

// sizes returns the diameters wanted, each once: spheres whose diameters differ by less than the tolerance of the search
// are found together.
func (w *Wanted) sizes() []float64 {
	var out []float64
	for _, s := range w.Spheres {
		found := false
		for _, d := range out {
			found = found || math.Abs(d-s.DiameterMM) <= sizeTolerance/3*d
		}
		if !found {
			out = append(out, s.DiameterMM)
		}
		if w.AnyNumber {
			break
		}
	}
	return out
}
