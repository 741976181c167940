package main

// story is one scan: what the scanner did and how it erred.
type story struct {
	name    string // of the files, without their suffix
	tells   string // what it is there for
	seed    uint64
	celsius float64 // the bar's temperature
	unit    string  // of the file's numbers: mm or m

	way   way
	pathM float64 // travelled from A to C

	distanceUM    float64 // what registration adds to the distance on the way from A to C
	sizeAUM       float64 // error of A's diameter: within one view, so the way does not matter
	sizeCUM       float64
	closureUM     vector  // where A appears when the scanner comes back to it
	secondSheetUM float64 // how far apart two layers on C lie
	perSphere     int     // points on each sphere
}

// way is how the scanner went from A to C, and whether it came back.
type way string

const (
	direct way = "direct" // along the bar
	detour way = "detour" // round the hub stand, by six marks
	loop   way = "loop"   // along the bar, and round the stand back to A
)

// Lengths of the two ways in metres. Both are longer than the line between the spheres: a hand swings.
const (
	directM = 1.1
	detourM = 4.6
)

// sphereNoiseUM is the standard deviation of points about a sphere.
const sphereNoiseUM = 12

// stories lists the scans. The seeds were chosen so that chance plays no part of its own: no fitted diameter lies farther
// from the truth than twice its standard uncertainty.
func stories() []story {
	const day = "2026-11-02-bar-800-"
	return []story{
		{
			name: day + "direct", tells: "a check in order: the direct way, little error",
			seed: 11, celsius: 21.4, unit: "mm", way: direct, pathM: directM, distanceUM: 31, sizeAUM: 2.4, sizeCUM: 3.1, perSphere: 4000,
		},
		{
			name: day + "detour", tells: "the same bar by a way four times as long: an error six times as large, and still inside a limit that counts the path",
			seed: 23, celsius: 21.6, unit: "mm", way: detour, pathM: detourM, distanceUM: 190, sizeAUM: 2.2, sizeCUM: 3.4, perSphere: 4000,
		},
		{
			name: day + "failing", tells: "the direct way with too much error: sizes in order, the distance outside its limit",
			seed: 13, celsius: 21.4, unit: "mm", way: direct, pathM: directM, distanceUM: 120, sizeAUM: 4.6, sizeCUM: 3.9, perSphere: 4000,
		},
		{
			name: day + "loop", tells: "sphere A again at the end: what a loop of the whole way leaves open",
			seed: 14, celsius: 21.6, unit: "mm", way: loop, pathM: directM, distanceUM: 34, sizeAUM: 2.5, sizeCUM: 2.9, perSphere: 3500,
			closureUM: vector{-132, 118, 87},
		},
		{
			name: day + "double-sheet", tells: "two views of C that do not lie on each other: no good for a diameter",
			seed: 26, celsius: 21.4, unit: "mm", way: direct, pathM: directM, distanceUM: 29, sizeAUM: 2.7, sizeCUM: 3.2, perSphere: 4000,
			secondSheetUM: 120,
		},
		{
			name: day + "metres", tells: "as the first, but saved in metres: the format does not say so",
			seed: 16, celsius: 21.4, unit: "m", way: direct, pathM: directM, distanceUM: 28, sizeAUM: 2.1, sizeCUM: 3.3, perSphere: 4000,
		},
	}
}

// perMM is the number of the file's units in a millimetre.
func (s *story) perMM() float64 {
	if s.unit == "m" {
		return 1e-3
	}
	return 1
}

// againM is where on its way the scanner has come back to A.
func (s *story) againM() float64 { return s.pathM + detourM }

// pins are the places of the way where the story says how far off the scan is. Across the bar the offset hardly changes
// the distance; it is a third as large.
func (s *story) pins() []pin {
	out := []pin{{s.pathM, vector{s.distanceUM, s.distanceUM / 3, -s.distanceUM / 3}}}
	if s.way == loop {
		out = append(out, pin{s.againM(), s.closureUM})
	}
	return out
}
