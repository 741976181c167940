// Package choose says which devices can hold a job's tolerances.
//
// In go a job (what it needs, from when to when, how warm the part may be) and the records at an instant. Out come all
// devices, the best first: the bound (maximum permissible error) of each at the length and path needed, which part of the
// tolerance it takes, what speaks against the device at present or before the job's end, what would mend that, and what its
// own checks have found beside the claim.
//
// Lengths are micrometres (UM) or metres (M) as their names say. The package reads no clock and no file, and prints nothing.
package choose
