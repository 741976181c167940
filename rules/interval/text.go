package interval

import "strconv"

// plain writes a number for a sentence: four significant digits.
func plain(value float64) string { return strconv.FormatFloat(value, 'g', 4, 64) }

// percent writes a share for a sentence, as finely as it was given.
func percent(share float64) string { return strconv.FormatFloat(share*100, 'g', 6, 64) + " %" }
