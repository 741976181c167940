// Package worksheet reads an uncertainty budget from a TOML file.
//
// The text of a file goes in, a [Sheet] with a budget of package propagation comes out, or all that is wrong with the file,
// each [Fault] with its place, the user's own line and what would mend it. REFERENCE.md beside this file lists the keys; a
// test keeps it to what [Tables] says.
//
// What is checked: that every key is known and has its place; that each input states its uncertainty in one way and wholly;
// that every name in the model is an input or a definition, and every input is used; that the numbers are possible. What is
// not: whether the units go together. They are printed and not reckoned with.
package worksheet
