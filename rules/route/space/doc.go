// Package space knows where measuring volumes lie: which of them are near enough to each other to be joined, whether
// something stands in the way, and how to lay volumes over a part.
//
// Places are millimetres along three axes at right angles.
package space
