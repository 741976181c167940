package sphere_test

import (
	"math"

	"plumbrule/rules/sphere"
)

// scene makes artificial scans: what the truth is, is known.
type scene struct {
	state  uint64
	p      sphere.Points
	noise  float64
	turned [3][3]float64
	moved  [3]float64
}

func newScene(seed uint64, noise float64) *scene {
	s := &scene{state: (seed + 1) * 0xD1342543DE82EF95, noise: noise} // another factor than the step's: else seeds would share their numbers
	s.turned = s.rotation()
	s.moved = [3]float64{s.between(-300, 300), s.between(-300, 300), s.between(-300, 300)}
	return s
}

// uniform is SplitMix64, divided down to 0 … 1.
func (s *scene) uniform() float64 {
	s.state += 0x9E3779B97F4A7C15
	z := s.state
	z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
	z = (z ^ z>>27) * 0x94D049BB133111EB
	return float64((z^z>>31)>>11) / (1 << 53)
}

func (s *scene) between(low, high float64) float64 { return low + (high-low)*s.uniform() }

func (s *scene) normal() float64 {
	return math.Sqrt(-2*math.Log(1-s.uniform())) * math.Cos(2*math.Pi*s.uniform())
}

func (s *scene) rotation() [3][3]float64 {
	w, x, y, z := s.normal(), s.normal(), s.normal(), s.normal()
	n := math.Sqrt(w*w + x*x + y*y + z*z)
	w, x, y, z = w/n, x/n, y/n, z/n
	return [3][3]float64{
		{1 - 2*(y*y+z*z), 2 * (x*y - z*w), 2 * (x*z + y*w)},
		{2 * (x*y + z*w), 1 - 2*(x*x+z*z), 2 * (y*z - x*w)},
		{2 * (x*z - y*w), 2 * (y*z + x*w), 1 - 2*(x*x+y*y)},
	}
}

// place turns and moves a point of the artifact's frame into that of the scan.
func (s *scene) place(v [3]float64) (out [3]float64) {
	for i := range out {
		out[i] = s.moved[i]
		for k := range v {
			out[i] += s.turned[i][k] * v[k]
		}
	}
	return out
}

func (s *scene) put(v [3]float64) {
	q := s.place(v)
	s.p.XYZ = append(s.p.XYZ, q[:]...)
}

// cap puts n points on the cap of a sphere about +z, evenly by area, with noise along the normal.
func (s *scene) cap(c [3]float64, r, halfAngle float64, n int) {
	for range n {
		z := s.between(math.Cos(halfAngle), 1)
		phi := s.between(0, 2*math.Pi)
		k := math.Sqrt(1 - z*z)
		d := r + s.noise*s.normal()
		s.put([3]float64{c[0] + d*k*math.Cos(phi), c[1] + d*k*math.Sin(phi), c[2] + d*z})
	}
}

// tube puts n points on the upper half of a cylinder along x.
func (s *scene) tube(from, to, y, z, r float64, n int) {
	for range n {
		a := s.between(0, math.Pi)
		d := r + s.noise*s.normal()
		s.put([3]float64{s.between(from, to), y + d*math.Cos(a), z + d*math.Sin(a)})
	}
}

// table puts n points on a level rectangle.
func (s *scene) table(from, to, width, z float64, n int) {
	for range n {
		s.put([3]float64{s.between(from, to), s.between(-width, width), z + s.noise*s.normal()})
	}
}

// strays puts n points anywhere.
func (s *scene) strays(from, to, width float64, n int) {
	for range n {
		s.put([3]float64{s.between(from, to), s.between(-width, width), s.between(-width, width)})
	}
}

// bar makes the scan of a bar with spheres of a diameter at places along x, on a table, with a tube of the spheres' own
// radius beneath and another beside them, and strays.
func bar(seed uint64, diameter, noise float64, points int, at ...float64) *scene {
	s := newScene(seed, noise)
	r := diameter / 2
	last := at[len(at)-1]
	for _, x := range at {
		s.cap([3]float64{x, 0, 0}, r, 100*math.Pi/180, points/5)
	}
	s.tube(-2*r, last+2*r, 0, -3*r, r, points/5)
	s.tube(-3*r, 3*r, 2.1*r, 0, r, points/20)
	s.table(-6*r, last+6*r, 8*r, -4*r, points/5)
	s.strays(-6*r, last+6*r, 8*r, points/200)
	return s
}

func barWanted(diameter float64, at ...float64) (w sphere.Wanted) {
	for i, x := range at {
		w.Spheres = append(w.Spheres, sphere.NominalSphere{Name: string(rune('A' + i)), DiameterMM: diameter})
		for k := range i {
			w.Distances = append(w.Distances, sphere.NominalDistance{From: w.Spheres[k].Name, To: w.Spheres[i].Name, MM: x - at[k]})
		}
	}
	return w
}
