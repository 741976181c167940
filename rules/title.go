package rules

// TitleOf returns the title of a reason's code, or the code itself when the
// catalogue does not have it.
func TitleOf(code string) string {
	if c, ok := reasonCode(code); ok {
		return c.Title
	}
	return code
}
