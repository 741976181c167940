package conformity

import (
	"fmt"
	"strconv"

	"plumbrule/records/spelling"
)

// Profile names a test: which quantity it judges, how the error is formed, and
// what the points behind a value must be. The zero value names none.
type Profile string

// The profiles this package knows; [Profiles] explains each.
const (
	ProbingSize          Profile = "probing-size"
	ProbingSize25        Profile = "probing-size-25"
	ProbingForm          Profile = "probing-form"
	ProbingForm25        Profile = "probing-form-25"
	ProbingForm95        Profile = "probing-form-95"
	SphereDistance       Profile = "sphere-distance"
	LengthUnidirectional Profile = "length-unidirectional"
	LengthBidirectional  Profile = "length-bidirectional"
	OneVolumeDiameter    Profile = "one-volume-diameter"
	PathDistance         Profile = "path-distance"
)

// Probing says from which sides the ends of a length are probed. What shifts
// both ends alike, such as an error of the spheres' size, cancels in a
// unidirectional length and adds up in a bidirectional one.
type Probing string

// How ends are probed; empty for what is no length.
const (
	Unidirectional Probing = "unidirectional"
	Bidirectional  Probing = "bidirectional"
)

// Sampling says which points of a sphere count.
type Sampling string

// Which points count; empty where the profile is about no sphere.
const (
	Selected25Points Sampling = "25 selected"
	AllPoints        Sampling = "all"
	Points95         Sampling = "95 %"
)

// ProfileDoc is a profile with its parameters, in words of this program's own:
// the symbols of the standards are not printed beside what nobody read there.
type ProfileDoc struct {
	Profile Profile
	Title   string
	Text    string // how the error is formed, and what it does and does not prove

	Quantity  string // quantity judged, as records name it
	OneSided  bool   // errors are never negative, the limit is one from above
	Probing   Probing
	NeedsPath bool // the reading states the path travelled
	Sampling  Sampling

	LeastPoints int     // points a sphere keeps; 0: none stated
	MostCut     float64 // share of its points that may be cut, 0 to 1; 0: none stated
	FreeRadius  bool    // the radius is fitted, not held at its certified value

	Source     string // the standards of the family, or that there is none
	Remembered bool   // nothing of this was read in the standards named: it is from memory
}

// The sources of the profiles.
const (
	probingSource  = "ISO 10360-8:2013, ISO 10360-13:2021; VDI/VDE 2634-2:2012, VDI/VDE 2634-3:2008"
	lengthSource   = "ISO 10360-8:2013, ISO 10360-13:2021"
	practiceSource = "common practice, no source"
)

// VDI/VDE 2634 permits 3 ‰ of the points to be cut (from memory).
const threePerMille = 0.003

// Least points on a sphere: the 25 of the probing tests, and what is common
// where scanners are checked with a ball bar.
const (
	selectedPoints = 25
	practicePoints = 100
)

// Profiles returns all profiles with their parameters: those of standards, then
// the pair of tests the trade knows.
func Profiles() []ProfileDoc {
	return append(standardProfiles(), practiceProfiles()...)
}

func standardProfiles() []ProfileDoc {
	return []ProfileDoc{
		{
			Profile: ProbingSize, Title: "probing error of size, all points",
			Text: "Diameter of the least-squares sphere through all points kept, minus the certified diameter. It says nothing about distances: " +
				"an error of size cancels between two centres.",
			Quantity: "diameter", Sampling: AllPoints, LeastPoints: selectedPoints, MostCut: threePerMille, FreeRadius: true,
			Source: probingSource, Remembered: true,
		},
		{
			Profile: ProbingSize25, Title: "probing error of size, 25 selected points",
			Text: "Diameter of the least-squares sphere through 25 points, one from each of 25 regions spread over the sphere, minus the certified diameter. " +
				"Which point stands for a region is the device's own affair; no point is cut.",
			Quantity: "diameter", Sampling: Selected25Points, LeastPoints: selectedPoints, FreeRadius: true,
			Source: lengthSource, Remembered: true,
		},
		{
			Profile: ProbingForm, Title: "probing error of form, all points",
			Text: "Range of the radial distances of all points kept from the centre of the least-squares sphere. It grows with the number of points, " +
				"so that two of these compare only with like numbers.",
			Quantity: "form", OneSided: true, Sampling: AllPoints, LeastPoints: selectedPoints, MostCut: threePerMille, FreeRadius: true,
			Source: probingSource, Remembered: true,
		},
		{
			Profile: ProbingForm25, Title: "probing error of form, 25 selected points",
			Text: "Range of the radial distances of 25 points, one from each of 25 regions spread over the sphere, from the centre of their least-squares " +
				"sphere. No point is cut.",
			Quantity: "form", OneSided: true, Sampling: Selected25Points, LeastPoints: selectedPoints, FreeRadius: true,
			Source: lengthSource, Remembered: true,
		},
		{
			Profile: ProbingForm95, Title: "probing error of form, 95 % of the points",
			Text: "Width of the narrowest shell about the centre of the least-squares sphere that holds 95 % of the points. It is found by rank and is not four " +
				"standard deviations.",
			Quantity: "form", OneSided: true, Sampling: Points95, LeastPoints: selectedPoints, FreeRadius: true,
			Source: lengthSource, Remembered: true,
		},
		{
			Profile: SphereDistance, Title: "error of the distance between two spheres",
			Text: "Distance between the centres of two least-squares spheres, minus the certified distance. Unidirectional: errors of size cancel, so that " +
				"a pass proves nothing about size.",
			Quantity: "distance", Probing: Unidirectional, Sampling: AllPoints, LeastPoints: selectedPoints, MostCut: threePerMille,
			Source: probingSource, Remembered: true,
		},
		{
			Profile: LengthUnidirectional, Title: "error of a length, unidirectional",
			Text: "Length between two ends probed from the same side, minus the certified one, over the whole measuring volume; the distance " +
				"between two centres of spheres is such a length. Errors of size cancel.",
			Quantity: "distance", Probing: Unidirectional, Sampling: AllPoints, LeastPoints: selectedPoints,
			Source: lengthSource, Remembered: true,
		},
		{
			Profile: LengthBidirectional, Title: "error of a length, bidirectional",
			Text: "Length between two ends probed from opposite sides, minus the certified one. Errors of size add to it. A distance between centres does " +
				"not prove it: with spheres their radii, as measured towards the two ends, have to be added.",
			Quantity: "length", Probing: Bidirectional, Sampling: AllPoints, LeastPoints: selectedPoints,
			Source: lengthSource, Remembered: true,
		},
	}
}

func practiceProfiles() []ProfileDoc {
	return []ProfileDoc{
		{
			Profile: OneVolumeDiameter, Title: "diameter inside one measuring volume",
			Text: "Diameter of a sphere seen without moving on to another measuring volume, fitted through all points kept, minus the certified one. It tests " +
				"sensor and lens, and nothing of what joins volumes.",
			Quantity: "diameter", Sampling: AllPoints, LeastPoints: practicePoints, FreeRadius: true, Source: practiceSource,
		},
		{
			Profile: PathDistance, Title: "distance between measuring volumes, along a path",
			Text: "Distance between the centres of two spheres that are not seen together, minus the certified one. The limit grows with the path " +
				"travelled from one to the other, which the reading states; a detour counts. Errors of size cancel.",
			Quantity: "distance", Probing: Unidirectional, NeedsPath: true, Sampling: AllPoints, LeastPoints: practicePoints, Source: practiceSource,
		},
	}
}

// Origin says where a profile comes from, and that it was not read there.
func (d *ProfileDoc) Origin() string {
	if d.Remembered {
		return d.Source + " (from memory, not read)"
	}
	return d.Source
}

// ParseProfile returns the profile of that name, exactly as [Profiles] spells
// it, or an [*InputError] that says which one may be meant.
func ParseProfile(name string) (ProfileDoc, error) {
	var names []string
	for _, d := range Profiles() {
		if name == string(d.Profile) {
			return d, nil
		}
		names = append(names, string(d.Profile))
	}
	fault := &InputError{Field: "test", Found: strconv.Quote(name), Expected: "one of " + listed(names)}
	if near := spelling.Nearest(name, names); near != "" {
		fault.Mend = fmt.Sprintf("did you mean %s?", near)
	}
	return ProfileDoc{}, fault
}

// Contradiction says why a feature cannot be judged by the profile; empty when
// nothing speaks against it. judged is the quantity the procedure judges,
// embodied that of the artifact's feature, as records name them; empty where
// they are not known.
func (d *ProfileDoc) Contradiction(judged, embodied string) string {
	switch {
	case judged != d.Quantity && judged != "":
		return fmt.Sprintf("test %s judges %s, and the feature is judged for %s", d.Profile, d.Quantity, judged)
	case d.Probing == Bidirectional && embodied == "distance":
		return fmt.Sprintf("test %s needs ends probed from opposite sides, and a distance between two centres does not prove such a length", d.Profile)
	}
	return ""
}
