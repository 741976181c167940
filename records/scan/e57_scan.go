package scan

import (
	"math"
	"slices"
)

// e57Scan is an entry of data3D that has points: one scan with its pose.
type e57Scan struct {
	number    int // from 0 among the entries
	hasPoints bool
	section   int64 // logical offset of the binary section
	records   int64
	widths    []int8      // bits of a record in each stream of the packets; varying: text
	known     []e57Coding // fields that matter here, in the order of the file
	pose      e57Pose
	posed     bool

	// What is read of these: three coordinates, or range, azimuth and elevation, and last what says whether they hold, if
	// there is such a field.
	read  []e57Coding
	polar bool
}

// offer keeps the coding of a field that matters.
func (x *e57XML) offer(c e57Coding) error {
	switch c.name {
	case "cartesianX", "cartesianY", "cartesianZ", "cartesianInvalidState",
		"sphericalRange", "sphericalAzimuth", "sphericalElevation", "sphericalInvalidState":
	default:
		return nil
	}
	s := &x.scan
	if c.width == varying {
		return x.fault("the field %s is text, not a number", c.name)
	}
	if s.coding(c.name) != nil {
		return x.fault("scan %d has the field %s twice", s.number, c.name)
	}
	s.known = append(s.known, c)
	return nil
}

func (s *e57Scan) coding(name string) *e57Coding {
	i := slices.IndexFunc(s.known, func(c e57Coding) bool { return c.name == name })
	if i < 0 {
		return nil
	}
	return &s.known[i]
}

// choose settles which fields are read, once all are known. Cartesian coordinates go before spherical ones.
func (x *e57XML) choose() error {
	s := &x.scan
	names, state := []string{"cartesianX", "cartesianY", "cartesianZ"}, "cartesianInvalidState"
	if !s.has(names) {
		names, state = []string{"sphericalRange", "sphericalAzimuth", "sphericalElevation"}, "sphericalInvalidState"
		s.polar = true
	}
	if !s.has(names) {
		return x.fault("the points of scan %d have neither cartesian nor spherical coordinates", s.number)
	}
	s.read = make([]e57Coding, 0, len(names)+1)
	for _, name := range names {
		c := s.coding(name)
		if c == nil {
			return x.fault("the points of scan %d have no field %s", s.number, name)
		}
		s.read = append(s.read, *c)
	}
	if c := s.coding(state); c != nil {
		s.read = append(s.read, *c)
	}
	s.known = nil
	if n := s.pose.length(); math.Abs(n-1) > quaternionSlack || math.IsNaN(n) {
		return x.fault("the quaternion of the pose of scan %d has the length %.6g, which is not 1: it is no rotation", s.number, n)
	}
	return nil
}

// has tells whether there is any of the fields.
func (s *e57Scan) has(names []string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return s.coding(name) != nil })
}

// single tells whether the coordinates are numbers of 32 bits.
func (s *e57Scan) single() bool {
	return !slices.ContainsFunc(s.read[:3], func(c e57Coding) bool { return !c.float || c.width != 32 })
}

// step returns how fine the coordinates are stored, where that is in steps: the coarsest scale of integers.
func (s *e57Scan) step() float64 {
	step := 0.0
	for _, c := range s.read[:3] {
		if !c.float {
			step = max(step, c.scale, -c.scale)
		}
	}
	return step
}

// bits returns the bits of a record, as far as they are constant.
func (s *e57Scan) bits() int64 {
	sum := int64(0)
	for _, w := range s.widths {
		if w != varying {
			sum += int64(w)
		}
	}
	return sum
}
