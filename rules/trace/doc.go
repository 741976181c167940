// Package trace follows the chain of metrological traceability from a job's or
// a check's figure to the device, the checks and the calibration it rests on,
// their artifacts, certificates and laboratories, and to what those state as
// their reference (VIM 2.42; ISO/IEC 17025:2017, 6.5 and annex A).
//
// In go the records, an instant and the name of what is traced; out comes a
// [Chain] of steps, each with the figures that pass through it, their expanded
// uncertainty and coverage factor where they are stated, and its gaps. A gap is
// anything for want of which the chain does not hold, with what would mend it:
// the chain never claims more than the records show, and a step that cannot be
// read is a gap and not absent.
//
// Files that records name, such as certificates as they came, are looked at by
// the caller, who says what was found; see [Query].
package trace
