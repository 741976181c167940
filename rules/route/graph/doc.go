// Package graph finds trees in undirected graphs with lengths: the spanning tree whose longest path is shortest, by the
// absolute centre of the graph; and the tree that serves chosen pairs of vertices best, by branch and bound.
//
// Vertices are counted from 0. Some are required, which a tree must reach and between which paths count; others may help
// to join them and are left out of a tree where they do not. Lengths are numbers of any one unit, 0 included.
//
// Whatever is not proven says so: a result has a value and a lower bound that no tree can go below. Work is counted in
// steps and not in seconds, so that the same question has the same answer on every machine.
//
// Where trees are equally good, lower numbers of vertices decide, then lower numbers of edges.
package graph
