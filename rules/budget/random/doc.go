// Package random draws the random numbers of Monte Carlo trials, the same ones on every run.
//
// In goes a seed; out come blocks of uniform, normal and gamma variates from the generator xoshiro256++ (Blackman and Vigna
// 2019). A generator that has jumped gives a stream of its own, so that a run can be dealt out to any number of workers
// and still draw the same numbers for the same trial. Package math/rand is not used: its streams are not ours to promise.
//
// Transformations use the machine's exp and log, whose last bit may differ between processor architectures; on one
// architecture all bits are the same.
package random
