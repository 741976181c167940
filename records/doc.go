// Package records holds what was recorded about measuring equipment: the typed
// records of a records repository, the reading of its files with a diagnostic
// at file, line and column for everything that is wrong, and the writing of new
// records.
//
// What goes in is an [io/fs.FS] whose root is the repository (the folder with
// plumbrule.toml). What comes out of [Load] is a [Set] and all diagnostics at
// once; a file that cannot be read never hides the others and never disappears:
// the set lists it, so that its device can be shown as unjudgeable.
//
// The package knows no clock, no time zone of the machine, and draws no
// conclusions: what follows from the records is the business of package rules.
package records

//go:generate go test -run ^TestReference$ . -update
