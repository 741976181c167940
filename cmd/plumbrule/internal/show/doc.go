// Package show prints figures and foreign text for people: how many digits an error deserves, how a probability near 1
// is told from certainty, what a control character looks like, and where a line breaks.
//
// Values go in unrounded; rounding happens here and nowhere before. What programs read (JSON, CSV) does not pass
// through this package.
package show
