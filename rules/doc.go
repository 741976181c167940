// Package rules says what follows from records: which device may be used for
// what at an instant, on which evidence, and until when.
//
// [Evaluate] is a pure function of a set of records and an instant. It knows
// no clock, no environment and no files; the same records and instant give the
// same assessment on every machine. Each kind of reasoning has a sub-package
// of its own that works on plain numbers and dates: conformity decides, budget
// combines uncertainties, chart keeps control charts, due counts dates.
package rules
