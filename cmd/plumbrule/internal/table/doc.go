// Package table prints tables for people, for pages and for programs from one description.
//
// A [Table] goes in: columns with title, unit and alignment, and rows of cells, each with the form people read and the
// raw value programs read. [Table.Plain] lays it out for a terminal or a text file, [Table.Markdown] for a page,
// [Table.CSV] for a spreadsheet or a script.
//
// The unit stands in the header and nowhere else, letters are never changed (an upper-case µ would be a Greek M), and
// cell text is taken as foreign: what a reader could not see is spelled out by package show.
package table
