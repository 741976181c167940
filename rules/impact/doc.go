// Package impact says what an error found on a device can have meant for the jobs measured before it was found.
//
// In go times of doubt ([rules.Doubt]: what was found, from when to when, which jobs lie in between). Out come the jobs, each
// once, the worst first: the observed error brought to the job's length and path by the form of the device's limit, and which
// part of the job's tolerance it can have used up. What cannot be bounded is there with the reason.
//
// Errors are micrometres (UM). The package reads no clock and no file, and prints nothing.
package impact
