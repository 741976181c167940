// Package conformity decides whether an error of indication keeps its maximum permissible error.
//
// In goes one [Case]: an error, its limit, the uncertainty of the test value and a named decision rule. Out comes a
// [Decision]: the verdict with the limits that applied, the ratio of limit to uncertainty and the conformance
// probability, each either a number or a reason why there is none.
//
// The rules follow ISO 14253-1:2017, ILAC-G8:09/2019, ISO/IEC Guide 98-4:2012 (the same text as JCGM 106:2012); [Rules]
// lists them with their sources. Every rule treats the true value as normally distributed about the measured one with
// the standard uncertainty u (JCGM 106:2012, clause 7): no earlier knowledge of the device is used.
//
// What is tested is named by a profile ([Profiles]): the quantity judged, how its error is formed, and what the points behind
// a value must be for it to count ([Demands]). The profiles of standards are from memory and say so.
//
// Lengths are in micrometres (UM). The package reads no clock and no file, and prints nothing.
package conformity
