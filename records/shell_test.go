package records

import "testing"

// Words and their forms by IEEE Std 1003.1, Shell Command Language, 2.2.2: in
// single quotes every character is literal, and none can be a single quote.
func TestShellQuote(t *testing.T) {
	for word, want := range map[string]string{
		"checks/scan-02/2026/a_b.toml": "checks/scan-02/2026/a_b.toml",
		"":                             "''",
		"a b":                          "'a b'",
		"it's":                         `'it'\''s'`,
		"$(reboot);`x`":                "'$(reboot);`x`'",
		"*":                            "'*'",
		"~":                            "'~'",
		"µ":                            "'µ'",
		"a\nb":                         "'a\nb'",
	} {
		if got := ShellQuote(word); got != want {
			t.Errorf("%q: got %s, want %s", word, got, want)
		}
	}
}
