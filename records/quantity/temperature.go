package quantity

import "math"

// Temperature is an absolute temperature, kept as the number and the unit (°C
// or K) in which it was written. The zero value is not stated.
type Temperature struct {
	number number
	unit   temperatureUnit
}

// temperatureUnit is a unit of temperature or of its differences; 0 is none.
type temperatureUnit unit

const (
	celsius temperatureUnit = iota + 1
	kelvin
	millikelvin
)

// ParseTemperature reads a temperature such as "21.4 °C", "21.4 degC" or
// "294.55 K". Temperatures below absolute zero (-273.15 °C, SI Brochure
// 2.3.1) are refused. The error is an [*Error].
func ParseTemperature(text string) (Temperature, error) {
	c := cursor{text: text}
	c.blank()
	start := c.pos
	n, u, err := c.amount(temperatureUnits())
	if err == nil && (Temperature{n, temperatureUnit(u)}).fromAbsoluteZero().neg {
		err = c.fault(start, c.pos, quoted(c.text[start:c.pos]), "a temperature of absolute zero (-273.15 °C, 0 K) or above",
			"check the number and its sign")
	}
	if err == nil {
		err = c.end("the temperature")
	}
	if err != nil {
		return Temperature{}, err
	}
	return Temperature{n, temperatureUnit(u)}, nil
}

// Celsius makes a temperature from a figure in °C. A figure that is not
// finite, below absolute zero or not below 1e100 gives the Temperature that
// is not stated; sizes under 1e-100 count as zero.
func Celsius(degrees float64) Temperature {
	n, ok := numberFromFloat(degrees)
	t := Temperature{n, celsius}
	if !ok || t.fromAbsoluteZero().neg {
		return Temperature{}
	}
	return t
}

// IsZero tells whether the temperature is not stated. A stated "0 °C" is not
// zero in this sense.
func (t Temperature) IsZero() bool { return t.unit == 0 }

// Celsius gives the temperature in °C: the float64 nearest to the value as
// written; NaN when not stated.
func (t Temperature) Celsius() float64 {
	switch t.unit {
	case celsius:
		return t.number.float()
	case kelvin:
		offset := number{coef: 27315, exp: -2, neg: true}
		if sum, ok := t.number.plus(offset); ok {
			return sum.float()
		}
		exact := t.number.rat()
		f, _ := exact.Add(exact, offset.rat()).Float64()
		return f
	case millikelvin: // of differences only
	}
	return math.NaN()
}

// fromAbsoluteZero gives a number with the sign of the temperature in kelvin.
func (t Temperature) fromAbsoluteZero() number {
	if t.unit != celsius {
		return t.number
	}
	zero := number{coef: 27315, exp: -2}
	if sum, ok := t.number.plus(zero); ok {
		return sum
	}
	exact := t.number.rat()
	if exact.Add(exact, zero.rat()).Sign() < 0 {
		return number{coef: 1, neg: true}
	}
	return zero
}

// String gives the canonical form, "21.4 °C"; empty when not stated.
func (t Temperature) String() string {
	if t.unit == 0 {
		return ""
	}
	return t.number.String() + " " + t.unit.symbol()
}

func temperatureUnits() unitSet {
	return unitSet{"a unit of temperature", "°C or K", "°C", findTemperatureUnit, temperatureHint}
}

func findTemperatureUnit(spelling string) unit { return unit(temperatureUnitOf(spelling)) }

func temperatureUnitOf(spelling string) temperatureUnit {
	switch spelling {
	case "°C", "degC", "℃":
		return celsius
	case "K", "\u212a": // the letter and the kelvin sign
		return kelvin
	}
	return 0
}

func temperatureHint(lower string) string {
	switch lower {
	case "c", "°c", "º", "ºc", "degc", "°", "deg", "celsius":
		return "°C"
	case "k", "°k", "kelvin":
		return "K"
	}
	return ""
}

func (u temperatureUnit) symbol() string {
	switch u {
	case celsius:
		return "°C"
	case kelvin:
		return "K"
	case millikelvin:
		return "mK"
	}
	return ""
}
