package quantity

import "math"

// Angle is a signed plane angle, kept as the number and the unit in which it
// was written: degree, minute or second of arc, rad, mrad or µrad. The zero
// value is not stated.
type Angle struct {
	number number
	unit   angleUnit
}

// angleUnit is a unit of plane angle; 0 is none.
type angleUnit unit

const (
	degree angleUnit = iota + 1
	arcMinute
	arcSecond
	radian
	milliradian
	microradian
)

// ParseAngle reads an angle of one number and one unit: "0.5°" or "0.5 deg",
// "12'" or "12 arcmin", `5"` or "5 arcsec", "2 rad", "1.5 mrad", "20 µrad".
// The error is an [*Error].
func ParseAngle(text string) (Angle, error) {
	c := cursor{text: text}
	n, u, err := c.amount(angleUnits())
	if err == nil {
		err = c.end("the angle")
	}
	if err != nil {
		return Angle{}, err
	}
	return Angle{n, angleUnit(u)}, nil
}

// IsZero tells whether the angle is not stated. A stated "0°" is not zero in
// this sense.
func (a Angle) IsZero() bool { return a.unit == 0 }

// Degrees gives the angle in degrees, exact to the rounding of one division
// or of one multiplication by 180/π; NaN when not stated.
func (a Angle) Degrees() float64 {
	switch a.unit {
	case degree:
		return a.number.float()
	case arcMinute:
		return a.number.over(number{coef: 6, exp: 1})
	case arcSecond:
		return a.number.over(number{coef: 36, exp: 2})
	case radian, milliradian, microradian:
	}
	return a.Radians() * (180 / math.Pi)
}

// Radians gives the angle in radians, exact to the rounding of one
// multiplication by π/180 where it was written in degrees; NaN when not
// stated.
func (a Angle) Radians() float64 {
	switch a.unit {
	case degree, arcMinute, arcSecond:
		return a.Degrees() * (math.Pi / 180)
	case radian:
		return a.number.float()
	case milliradian:
		return a.number.shift(-3).float()
	case microradian:
		return a.number.shift(-6).float()
	}
	return math.NaN()
}

// String gives the canonical form; empty when not stated. The degree sign
// follows its number without a blank (SI Brochure 5.4.3); minutes and seconds
// are written "12 arcmin" and "5 arcsec", which need no escaping in a TOML
// string.
func (a Angle) String() string {
	if a.unit == 0 {
		return ""
	}
	if a.unit == degree {
		return a.number.String() + "°"
	}
	return a.number.String() + " " + a.unit.symbol()
}

func (u angleUnit) symbol() string {
	switch u {
	case degree:
		return "°"
	case arcMinute:
		return "arcmin"
	case arcSecond:
		return "arcsec"
	case radian:
		return "rad"
	case milliradian:
		return "mrad"
	case microradian:
		return "µrad"
	}
	return ""
}

func angleUnits() unitSet {
	return unitSet{"a unit of angle", "°, arcmin, arcsec, rad, mrad or µrad", "deg", findAngleUnit, angleHint}
}

func findAngleUnit(spelling string) unit { return unit(angleUnitOf(spelling)) }

func angleUnitOf(spelling string) angleUnit {
	switch spelling {
	case "°", "deg":
		return degree
	case "'", "′", "arcmin":
		return arcMinute
	case `"`, "″", "arcsec":
		return arcSecond
	case "rad":
		return radian
	case "mrad":
		return milliradian
	case "µrad", "\u03bcrad", "urad":
		return microradian
	}
	return 0
}

func angleHint(lower string) string {
	switch lower {
	case "degree", "º":
		return "deg"
	case "min", "minute", "arcminute":
		return "arcmin"
	case "sec", "second", "arcsecond", "as", "''":
		return "arcsec"
	case "radian":
		return "rad"
	}
	return ""
}
