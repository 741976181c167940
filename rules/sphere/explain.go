package sphere

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// explain makes of a search that failed what a person can act on: is the scan in another unit, are there balls of another
// size? Only then is it worth the time to look for those.
func explain(failed error, found []candidate, s *sampled, w *Wanted, o *Options) error {
	var e *Error
	if !errors.As(failed, &e) || e.Reason == TooMany || e.Reason == BadRequest {
		return failed
	}
	if s.reach > 1e12 || s.reach < 1e-12 {
		return &Error{
			Reason: NoSphere, Found: fmt.Sprintf("%s; the largest coordinate is %.3g mm", e.Found, s.reach),
			Mend: "these are no lengths of a scan: the byte order or the type of the numbers may be another than the file says",
		}
	}
	thin := s.points
	if stride := thin.Len() / 100_000; stride > 1 {
		thin = thin.where(func(i int) bool { return i%stride == 0 })
	}
	if len(found) == 0 && !o.UnitStated {
		if units := unitsThatFit(thin, w, o); len(units) > 0 {
			return &Error{
				Reason: OtherUnit,
				Found: fmt.Sprintf("no ball of %g mm diameter if the numbers are %s, but %s if they are %s: which unit is the file in?",
					w.Spheres[0].DiameterMM, unitName(o.MMPerUnit), counted(units[0].count), units[0].name),
				Mend: "state the unit of the file", Unit: units[0].symbol,
			}
		}
	}
	if len(found) == 0 {
		if sizes := otherSizes(thin, w.Spheres[0].DiameterMM, o.Workers); len(sizes) > 0 {
			return &Error{
				Reason: WrongArtifact, Found: fmt.Sprintf("%s; there are others: %s", e.Found, strings.Join(sizes, ", ")),
				Mend: "check that this is the artifact named, and the unit",
			}
		}
		e.Mend = "check artifact and unit, and that each sphere was scanned over at least half of its surface"
	}
	return e
}

type otherUnit struct {
	name, symbol string
	count        int
}

// unitsOfLength are the units a scan may be in, in millimetres.
func unitsOfLength() []struct {
	name, symbol string
	mm           float64
} {
	return []struct {
		name, symbol string
		mm           float64
	}{{"millimetres", "mm", 1}, {"metres", "m", 1000}, {"inches", "in", 25.4}, {"centimetres", "cm", 10}, {"micrometres", "um", 1e-3}}
}

func unitName(mm float64) string {
	for _, u := range unitsOfLength() {
		if u.mm == mm {
			return u.name
		}
	}
	return fmt.Sprintf("units of %g mm", mm)
}

// unitsThatFit returns the units in which the scan does show balls of the size wanted.
func unitsThatFit(p Points, w *Wanted, o *Options) (out []otherUnit) {
	for _, u := range unitsOfLength() {
		if u.mm == o.MMPerUnit {
			continue
		}
		radius := w.Spheres[0].DiameterMM / 2 * (o.MMPerUnit / u.mm)
		if found := candidatesIn(p, radius, fineCubes, o.Workers); len(found) > 0 {
			out = append(out, otherUnit{u.name, u.symbol, len(found)})
		}
	}
	return out
}

// otherSizes looks for balls of half to twice the diameter wanted and describes them.
func otherSizes(p Points, diameter float64, workers int) (out []string) {
	var known []candidate
	for step := -12; step <= 12; step++ {
		d := diameter * math.Pow(2, float64(step)/12)
		for _, c := range candidatesIn(p, d/2, fineCubes, workers) {
			again := false
			for _, k := range known {
				again = again || norm(minus(k.fit.CenterMM, c.fit.CenterMM)) < c.fit.RadiusMM
			}
			if !again && len(known) < 6 {
				known = append(known, c)
				out = append(out, places([]candidate{c}))
			}
		}
	}
	return out
}
