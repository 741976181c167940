package repeatability

import "strconv"

// plain writes a number for a sentence: four significant digits.
func plain(value float64) string { return strconv.FormatFloat(value, 'g', 4, 64) }
