package history

// Rewrites reports whether a change altered what a file said: its content was
// changed or taken away. That it was renamed as it is, or added by two sites, does
// not.
func (c *Change) Rewrites() bool {
	switch c.Kind {
	case Changed, Removed:
		return true
	case Renamed:
		return c.Old != c.New
	case Added:
	}
	return false
}

// Rewritten returns the changes after which the file no longer said what it had
// said.
func (f *File) Rewritten() []Change {
	var out []Change
	for _, c := range f.Afterwards() {
		if c.Rewrites() {
			out = append(out, c)
		}
	}
	return out
}
