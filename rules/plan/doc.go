// Package plan says which checks and calibrations to do in the coming weeks so that planned jobs stay covered.
//
// In go the records, their assessment at an instant and the number of weeks; out come single pieces of work in the order of
// their days, the same gathered into batches (one kind of work, artifact or laboratory, and place in one week), and the jobs of
// those weeks with what their devices run out of.
//
// A check that recurs is listed as often as it falls due, each time as if the one before were made on its day. Work that is
// late stands on today. The package reads no clock and no file, and prints nothing.
package plan
