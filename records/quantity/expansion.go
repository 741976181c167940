package quantity

import "math"

// Expansion is a relative coefficient of thermal expansion, as a number in
// 1/K; negative for materials that shrink. The zero value is not stated.
type Expansion struct {
	number number
	stated bool
}

// Coefficients, and their uncertainties, lie between these sizes: above every
// solid a figure has lost its power of ten, and far below what anyone can
// measure it has one digit too many in it.
const (
	minExpansion = 1e-15
	maxExpansion = 1e-3
)

const expansionList = `"11.5e-6/K", "11.5 ppm/K" or "11.5 µm/(m·K)"`

// ParseExpansion reads a coefficient: "11.5e-6/K", "11.5e-6 1/K", "11.5
// ppm/K", "11.5 µm/(m·K)" or "11.5 µm/m/K", with °C in the place of K if
// wanted. A coefficient must be 0 or lie between 1e-15 and 1e-3 /K in size, as
// that of every solid does. The error is an [*Error].
func ParseExpansion(text string) (Expansion, error) {
	c := cursor{text: text}
	x, err := c.expansion()
	if err == nil {
		err = c.end("the coefficient")
	}
	if err != nil {
		return Expansion{}, err
	}
	return x, nil
}

// PerKelvin makes a coefficient from a figure in 1/K. A figure that is not
// finite or above 1e-3 in size gives the Expansion that is not stated; sizes
// under 1e-15 count as zero.
func PerKelvin(perKelvin float64) Expansion {
	n, ok := numberFromFloat(perKelvin)
	if !ok || math.Abs(perKelvin) > maxExpansion {
		return Expansion{}
	}
	if math.Abs(perKelvin) < minExpansion {
		n = number{}
	}
	return Expansion{n, true}
}

// IsZero tells whether the coefficient is not stated. A stated "0/K" is not
// zero in this sense.
func (x Expansion) IsZero() bool { return !x.stated }

// PerKelvin gives the coefficient in 1/K: the float64 nearest to the number
// as written; NaN when not stated.
func (x Expansion) PerKelvin() float64 {
	if !x.stated {
		return math.NaN()
	}
	return x.number.float()
}

// String gives the canonical form, "11.5e-6/K"; empty when not stated.
func (x Expansion) String() string {
	if !x.stated {
		return ""
	}
	return string(x.appendTo(make([]byte, 0, 32)))
}

func (x Expansion) appendTo(b []byte) []byte {
	millionths := x.number.shift(6)
	switch {
	case x.number.coef == 0:
		b = append(b, '0')
	case int(millionths.exp)+digitsOf(millionths.coef) > -6:
		b = append(millionths.appendTo(b), "e-6"...)
	default:
		b = x.number.appendTo(b)
	}
	return append(b, "/K"...)
}

func (x Expansion) base() float64  { return x.PerKelvin() }
func (x Expansion) negative() bool { return x.number.neg }

func (c *cursor) expansion() (Expansion, *Error) {
	c.blank()
	start := c.pos
	n, err := c.number()
	if err != nil {
		return Expansion{}, err
	}
	end := c.pos
	c.blank()
	from := c.pos
	exp, ok := c.expansionUnit()
	if !ok {
		c.pos = from
		if c.atEnd() || c.text[from] == '(' {
			return Expansion{}, c.noUnit(start, end, "a coefficient in 1/K", "write the unit: "+expansionList)
		}
		return Expansion{}, c.fault(from, len(c.text), quoted(c.rest()), "a unit of thermal expansion (/K, ppm/K, µm/(m·K))",
			"write it like "+expansionList)
	}
	n = n.shift(exp)
	if size := math.Abs(n.float()); size > maxExpansion || size != 0 && size < minExpansion {
		return Expansion{}, c.fault(start, c.pos, quoted(c.text[start:c.pos]), "a coefficient between 1e-15 and 1e-3 /K in size, or 0",
			"check the power of ten: "+expansionList)
	}
	return Expansion{n, true}, nil
}

// expansionUnit reads the unit and gives its power of ten against 1/K.
func (c *cursor) expansionUnit() (exp int, ok bool) {
	switch {
	case c.take("K^-1", "K⁻¹"):
		return 0, true
	case c.take("ppm"):
		exp = -6
	case c.take("µm", "\u03bcm", "um"):
		exp = -6
		return exp, c.perMetreKelvin()
	case c.take("nm"):
		exp = -9
		return exp, c.perMetreKelvin()
	default:
		c.take("1")
	}
	c.blank()
	return exp, c.take("/") && c.kelvinSign()
}

// perMetreKelvin reads /(m·K) or /m/K.
func (c *cursor) perMetreKelvin() bool {
	c.blank()
	if !c.take("/") {
		return false
	}
	c.blank()
	if !c.take("(") {
		if !c.take("m") {
			return false
		}
		c.blank()
		return c.take("/") && c.kelvinSign()
	}
	c.blank()
	if !c.take("m") {
		return false
	}
	before := c.pos
	c.blank()
	if !c.take("·", "⋅", "*") && c.pos == before || !c.kelvinSign() {
		return false
	}
	c.blank()
	return c.take(")")
}

func (c *cursor) kelvinSign() bool {
	c.blank()
	return temperatureUnitOf(c.word()) != 0
}
