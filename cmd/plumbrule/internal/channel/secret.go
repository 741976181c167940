package channel

// Secret is a password or a key. It does not show when it is printed.
type Secret string

func (s Secret) String() string {
	if s == "" {
		return "(none)"
	}
	return "(secret)"
}

// GoString hides it from %#v too.
func (s Secret) GoString() string { return s.String() }

// MarshalText hides it from JSON and from logs.
func (s Secret) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
