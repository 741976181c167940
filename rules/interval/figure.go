package interval

import "strconv"

// Figure is a number or, if Value is nil, the reason why there is none.
type Figure struct {
	Value  *float64
	Reason string
}

func known(value float64) Figure { return Figure{Value: &value} }

func absent(reason string) Figure { return Figure{Reason: reason} }

// plain writes a number for a sentence: four significant digits.
func plain(value float64) string { return strconv.FormatFloat(value, 'g', 4, 64) }

// percent writes a share for a sentence, as finely as it was given.
func percent(share float64) string { return strconv.FormatFloat(share*100, 'g', 6, 64) + " %" }
