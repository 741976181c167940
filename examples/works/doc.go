// Package works makes the bulk of the example repository: the checks of an
// invented ship-propeller works, from the hand-written records of its devices,
// artifacts and certificates. [Many] makes a site of any size in the same
// style, for benchmarks.
//
// Every figure is invented to tell the stories of the walk-through, and proves
// nothing about any device, method or control chart. Errors are independent
// and normal, which those of real devices are not; where a chart of samples is
// kept, nothing differs between checks but by chance. With several run tests some
// points signal although nothing is wrong; the seeds were chosen so that no such
// false alarm stands at the last six points of a chart before 2 November 2026
// (before the story begins, where the chart tells one). Earlier ones were left
// as they fell. The courses of mic-02 and of the distance of arm-01 were chosen
// so that their charts find what single values do not.
//
// The same source gives the same bytes on every machine.
package works

//go:generate go test -run TestCommitted -update
