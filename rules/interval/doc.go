// Package interval proposes calibration intervals from what calibrations found.
//
// In go outcomes of calibrations, a drift line or hours of use, as plain numbers; out comes a [Proposal] with its evidence
// and its reasons. It is only a proposal: an interval changes when somebody responsible records the change, and nothing
// here knows what else that person must weigh (cost of a failure, conditions of use, what a customer demands).
//
// The methods are those of ILAC-G24:2022 / OIML D 10:2022, clause 6: automatic adjustment or staircase (6.2, [Staircase]),
// control chart (6.3, [ControlChart]), in-use time (6.4, [InUse]) and other statistical approaches (heading from memory,
// [Plan]). The document describes them in words; formulas and default figures have their sources beside them.
//
// Months are calendar months as decimal numbers, unrounded. Who puts a proposal on a label rounds it down, because rounding
// up would claim more than the evidence does.
package interval
