package scan

import (
	"fmt"
	"math"
)

// finds is what a pass notes beside the points it hands on. Those of parts of a file add up to those of the whole, in
// whatever order they are merged.
type finds struct {
	points, facets            int64
	nonFinite, firstNonFinite int64
	invalid                   int64
	peak                      float64 // largest magnitude of a finite coordinate
}

func (f *finds) merge(o *finds) {
	if o.nonFinite > 0 && (f.nonFinite == 0 || o.firstNonFinite < f.firstNonFinite) {
		f.firstNonFinite = o.firstNonFinite
	}
	f.points += o.points
	f.facets += o.facets
	f.nonFinite += o.nonFinite
	f.invalid += o.invalid
	f.peak = max(f.peak, o.peak)
}

// noteNonFinite counts a record, by its number in the file, that has a coordinate which is not finite.
func (f *finds) noteNonFinite(record int64) {
	if f.nonFinite == 0 || record < f.firstNonFinite {
		f.firstNonFinite = record
	}
	f.nonFinite++
}

// tally says what was found of a whole file, or why there is nothing to measure. The noun, "point" or "vertex", is what the
// format calls its points.
func (f *finds) tally(in *input, noun string, warnings ...string) (Tally, error) {
	t := Tally{Points: f.points, Facets: f.facets, NonFinite: f.nonFinite, FirstNonFinite: f.firstNonFinite, Invalid: f.invalid, Warnings: warnings}
	if f.points == 0 {
		const other = "measure again, or look whether this is the right file"
		switch {
		case f.nonFinite > 0:
			return Tally{}, in.fault(nowhere(), other, "there is nothing to measure: no %s has finite coordinates (%d have others)", noun, f.nonFinite)
		case f.invalid > 0:
			return Tally{}, in.fault(nowhere(), other, "there is nothing to measure: the file marks all %d %s as invalid", f.invalid, plural(noun))
		}
		return Tally{}, in.empty(noun)
	}
	if f.nonFinite > 0 {
		t.Warnings = append(t.Warnings, fmt.Sprintf("%s with a coordinate that is not finite %s left out; the first is %s %d, counted from 0.",
			counted(f.nonFinite, noun), isWere(f.nonFinite), noun, f.firstNonFinite))
	}
	return t, nil
}

// empty tells of a sound file without points.
func (in *input) empty(noun string) *Error {
	return in.fault(nowhere(), "measure again, or look whether this is the right file", "there is nothing to measure: the file has no %s", plural(noun))
}

// singleStep returns the spacing of single precision numbers at a magnitude.
func singleStep(peak float64) float64 {
	p := float32(peak)
	return float64(math.Nextafter32(p, float32(math.Inf(1)))) - float64(p)
}

func counted(n int64, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %s", n, plural(noun))
}

func plural(noun string) string {
	if noun == "vertex" {
		return "vertices"
	}
	return noun + "s"
}

func isWere(n int64) string {
	if n == 1 {
		return "was"
	}
	return "were"
}
