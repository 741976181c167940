package records

// Quoted writes a text as a TOML basic string, for files that are not written
// by [Encode].
func Quoted(s string) string { return quote(s) }
