package quantity

import "math"

// TemperatureDifference is a signed difference of two temperatures, in which
// 1 °C is 1 K. The number and the unit (K, mK or °C) are kept as written. The
// zero value is not stated.
type TemperatureDifference struct {
	number number
	unit   temperatureUnit
}

// ParseTemperatureDifference reads a difference such as "0.3 K", "0.3 °C" or
// "150 mK". The error is an [*Error].
func ParseTemperatureDifference(text string) (TemperatureDifference, error) {
	c := cursor{text: text}
	d, err := c.temperatureDifference()
	if err == nil {
		err = c.end("the temperature difference")
	}
	if err != nil {
		return TemperatureDifference{}, err
	}
	return d, nil
}

func (c *cursor) temperatureDifference() (TemperatureDifference, *Error) {
	n, u, err := c.amount(temperatureDifferenceUnits())
	return TemperatureDifference{n, temperatureUnit(u)}, err
}

// IsZero tells whether the difference is not stated. A stated "0 K" is not
// zero in this sense.
func (d TemperatureDifference) IsZero() bool { return d.unit == 0 }

// Kelvin gives the difference in K: the float64 nearest to the number as
// written; NaN when not stated.
func (d TemperatureDifference) Kelvin() float64 {
	switch d.unit {
	case celsius, kelvin:
		return d.number.float()
	case millikelvin:
		return d.number.shift(-3).float()
	}
	return math.NaN()
}

// String gives the canonical form, "0.3 K"; empty when not stated.
func (d TemperatureDifference) String() string {
	if d.unit == 0 {
		return ""
	}
	return string(d.appendTo(make([]byte, 0, 32)))
}

func (d TemperatureDifference) appendTo(b []byte) []byte {
	return append(append(d.number.appendTo(b), ' '), d.unit.symbol()...)
}

func (d TemperatureDifference) base() float64  { return d.Kelvin() }
func (d TemperatureDifference) negative() bool { return d.number.neg }

func temperatureDifferenceUnits() unitSet {
	return unitSet{
		"a unit of temperature difference", "K, mK or °C", "K",
		func(spelling string) unit {
			if spelling == "mK" {
				return unit(millikelvin)
			}
			return findTemperatureUnit(spelling)
		},
		func(lower string) string {
			if lower == "mk" {
				return "mK"
			}
			return temperatureHint(lower)
		},
	}
}
