// Package montecarlo propagates distributions by Monte Carlo trials, after JCGM 101:2008, and validates by it what the law
// of propagation of uncertainty gave.
//
// In goes a budget of package propagation and a number of trials, or the wish to have as many as a number of significant
// digits needs; out come mean, standard uncertainty and coverage intervals of the result. The same budget, seed and number
// give the same bits with any number of workers: trials are dealt out in chunks of 10 000, each with a stream of random
// numbers of its own, and are put together in their order.
//
// Every trial's value is kept, 8 bytes each: 80 MB for ten million trials; nothing else grows with their number. A trial
// without a value, such as a division by zero, ends the run with a [*FailureError]: none is ever left out.
package montecarlo
