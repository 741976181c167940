package selftest

import "plumbrule/records/quantity"

func lengthUM(_ *bench, input string) (float64, error) {
	l, err := quantity.ParseLength(input)
	return l.Micrometres(), err
}

func angleDegrees(_ *bench, input string) (float64, error) {
	a, err := quantity.ParseAngle(input)
	return a.Degrees(), err
}

func temperatureCelsius(_ *bench, input string) (float64, error) {
	t, err := quantity.ParseTemperature(input)
	return t.Celsius(), err
}

func limitUM(_ *bench, input string) (float64, error) {
	parts, err := cut(input, "; at ", 2)
	if err != nil {
		return 0, err
	}
	limit, err := quantity.ParseMPE(parts[0])
	if err != nil {
		return 0, err
	}
	length, err := quantity.ParseLength(parts[1])
	if err != nil {
		return 0, err
	}
	return limit.At(length)
}
