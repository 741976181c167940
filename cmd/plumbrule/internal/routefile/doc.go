// Package routefile reads the file of a route: volumes, joins and what stands in the way, in TOML.
//
// In go the text and its name; out come a task for rules/route and what is wrong with the text, each with line, column and
// remedy, and all of it at once. What the rules refuse later is put back to its place in the file by [File.Locate].
package routefile
