// Package budget computes the uncertainty of a test value and the error of a length at 20 °C.
//
// In go the components of an uncertainty, each a standard uncertainty with its sensitivity and degrees of freedom; out
// comes the [Result] of combining them to first order (JCGM 100:2008, the GUM, clause 5 and annex G): combined and
// expanded uncertainty, effective degrees of freedom, coverage factor and every component's share. Inputs are taken as
// uncorrelated. [CalibratedLength] and [CalibratedForm] give the components of a check with a calibrated artifact after
// ISO 14253-5:2015 and ISO/TS 23165:2006; both are used from memory, not quoted. What is tested (the device's
// repeatability, its resolution, its own temperature sensor) stays out of the test's uncertainty.
//
// The temperature correction refers to 20 °C (ISO 1:2022).
//
// Lengths end in MM or UM for millimetres and micrometres, temperatures are in degrees Celsius, expansion coefficients
// in 1/K. The package reads no clock and no file, and prints nothing.
package budget
