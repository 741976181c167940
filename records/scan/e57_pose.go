package scan

import "math"

// e57Pose is where a scan lies in the frame common to all in the file: x' = R·x + t, with R from a unit quaternion.
type e57Pose struct {
	w, x, y, z float64 // of the quaternion
	tx, ty, tz float64
}

func e57Identity() e57Pose { return e57Pose{w: 1} }

// member returns the number that an element of the entry, by its path in it, stands for; nil if it is none of the pose.
func (p *e57Pose) member(path string) *float64 {
	switch path {
	case "/pose/rotation/w":
		return &p.w
	case "/pose/rotation/x":
		return &p.x
	case "/pose/rotation/y":
		return &p.y
	case "/pose/rotation/z":
		return &p.z
	case "/pose/translation/x":
		return &p.tx
	case "/pose/translation/y":
		return &p.ty
	case "/pose/translation/z":
		return &p.tz
	}
	return nil
}

// quaternionSlack is by how much the length of a quaternion may differ from 1: what rounding to six digits leaves, with
// room to spare.
const quaternionSlack = 1e-5

// length is that of the quaternion.
func (p *e57Pose) length() float64 {
	return math.Sqrt(float64(p.w*p.w) + float64(p.x*p.x) + float64(p.y*p.y) + float64(p.z*p.z))
}

// motion is a rotation and a translation, ready to be applied.
type motion struct {
	still bool
	r     [3][3]float64
	t     [3]float64
}

// motion makes that of the pose. What the quaternion's length differs from 1 is divided out, lest it scale the scan.
func (p *e57Pose) motion() motion {
	if *p == e57Identity() {
		return motion{still: true}
	}
	n := p.length()
	w, x, y, z := p.w/n, p.x/n, p.y/n, p.z/n
	twice := func(a, b float64) float64 { return float64(2 * a * b) }
	return motion{
		r: [3][3]float64{
			{1 - twice(y, y) - twice(z, z), twice(x, y) - twice(w, z), twice(x, z) + twice(w, y)},
			{twice(x, y) + twice(w, z), 1 - twice(x, x) - twice(z, z), twice(y, z) - twice(w, x)},
			{twice(x, z) - twice(w, y), twice(y, z) + twice(w, x), 1 - twice(x, x) - twice(y, y)},
		},
		t: [3]float64{p.tx, p.ty, p.tz},
	}
}

// apply moves a point.
func (m *motion) apply(x, y, z float64) (float64, float64, float64) {
	if m.still {
		return x, y, z
	}
	row := func(r *[3]float64, t float64) float64 {
		return float64(r[0]*x) + float64(r[1]*y) + float64(r[2]*z) + t
	}
	return row(&m.r[0], m.t[0]), row(&m.r[1], m.t[1]), row(&m.r[2], m.t[2])
}
