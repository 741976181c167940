package quantity

import "math/big"

const lengthUnitList = "nm, µm, mm, cm, m, km or in"

func (c *cursor) length() (Length, *Error) {
	n, u, err := c.amount(lengthUnits())
	return Length{n, lengthUnit(u)}, err
}

func lengthUnits() unitSet {
	return unitSet{"a unit of length", lengthUnitList, "µm", findLengthUnit, lengthHint}
}

func findLengthUnit(spelling string) unit { return unit(lengthUnitOf(spelling)) }

func lengthUnitOf(spelling string) lengthUnit {
	switch spelling {
	case "mm":
		return millimetre
	case "µm", "\u03bcm", "um":
		return micrometre
	case "m":
		return metre
	case "nm":
		return nanometre
	case "cm":
		return centimetre
	case "km":
		return kilometre
	case "in":
		return inch
	}
	return 0
}

func lengthHint(lower string) string {
	switch lower {
	case "micron", "micrometre", "micrometer", "mu", "µ", "\u03bc", "mym":
		return "µm"
	case "millimetre", "millimeter":
		return "mm"
	case "centimetre", "centimeter":
		return "cm"
	case "metre", "meter", "mtr":
		return "m"
	case "kilometre", "kilometer":
		return "km"
	case "nanometre", "nanometer":
		return "nm"
	case "inch", "inche", `"`, "″":
		return "in"
	}
	return ""
}

func (u lengthUnit) symbol() string {
	switch u {
	case nanometre:
		return "nm"
	case micrometre:
		return "µm"
	case millimetre:
		return "mm"
	case centimetre:
		return "cm"
	case metre:
		return "m"
	case kilometre:
		return "km"
	case inch:
		return "in"
	}
	return ""
}

// micrometreExponent gives the power of ten between a decimal unit and µm.
func (u lengthUnit) micrometreExponent() int {
	switch u {
	case micrometre, inch:
		return 0
	case nanometre:
		return -3
	case millimetre:
		return 3
	case centimetre:
		return 4
	case metre:
		return 6
	case kilometre:
		return 9
	}
	return 0
}

// rat gives the length in units of 10^-shift µm without rounding.
func (l Length) rat(shift int) *big.Rat {
	if l.unit != inch {
		return l.number.shift(l.unit.micrometreExponent() + shift).rat()
	}
	return new(big.Rat).Mul(l.number.rat(), number{coef: 254, exp: 2}.shift(shift).rat())
}
