// Package route plans how measuring volumes are joined, so that the bound between any two of them is as small as it can be.
//
// The bound between two volumes grows with the path travelled from one to the other, through the volumes between them: not
// with the straight distance. In a chain around the part the last volume hangs on all others; branching out from a centre
// like spokes, none is farther from another than two of the longest spokes.
//
// In goes a [Task]: the volumes, the joins that are possible between them, artifacts with a bound of their own, the limit
// (MPE) of the device, and, where not all pairs of volumes count alike, the pairs of features with their tolerances. Out
// comes a [Plan]: the joins to use, which form a tree; its centre; the worst path with its bound; the order to scan in; and
// how far it is proven that no other way of joining is better. Chains that a person would walk are computed for comparison,
// and one more volume, join or calibrated length is advised where it helps most.
//
// The path between two volumes is the sum of the joins between them, each as long as the task says, by default the straight
// line between the middles of the volumes. A feature away from the middle of its volume adds that distance.
//
// Source: Hassin and Tamir 1995, Information Processing Letters 53, 109–111, for the tree; from memory. That bounds of
// consecutive joins add up along the path is the form of the limit that makers state, A + B·L with L the path travelled;
// common practice, no source.
//
// Lengths end in MM or UM for millimetres and micrometres. The package reads no clock and no file, and prints nothing.
package route
