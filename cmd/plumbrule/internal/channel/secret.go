package channel

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
)

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

// unreadable is a file that a secret cannot be taken from.
type unreadable struct{ what, mend string }

// longestSecret is more than any password or key has in bytes.
const longestSecret = 4 << 10

// forOthers are the permissions that a secret's file must not give: reading and
// writing to everybody, and writing to its group. A group may read it, by which
// system services are given secrets.
const forOthers fs.FileMode = 0o027

// readSecret reads a secret from a file, without the line's end that editors put
// behind it.
func readSecret(file string) (Secret, *unreadable) {
	// A pipe without a writer would be waited for.
	if about, err := os.Stat(file); err == nil && !about.Mode().IsRegular() {
		return "", &unreadable{"is no file", "write the secret into a file of its own"}
	}
	f, err := os.Open(file)
	if err != nil {
		return "", &unreadable{"cannot be read: " + bare(err), "look whether it is there and the watcher's user may read it"}
	}
	defer f.Close() //nolint:errcheck // it was only read
	about, err := f.Stat()
	if err == nil && runtime.GOOS != "windows" && about.Mode().Perm()&forOthers != 0 {
		return "", &unreadable{"others may read or change: " + about.Mode().Perm().String(), "chmod 600"}
	}
	text, err := io.ReadAll(io.LimitReader(f, longestSecret+1))
	if err != nil {
		return "", &unreadable{"cannot be read: " + bare(err), "look into the system's log"}
	}
	secret := strings.TrimSuffix(strings.TrimSuffix(string(text), "\n"), "\r")
	switch {
	case len(text) > longestSecret:
		return "", &unreadable{"holds more than 4096 bytes", "write nothing but the secret into it"}
	case secret == "":
		return "", &unreadable{"is empty", "write the secret into it"}
	case strings.ContainsAny(secret, "\r\n"):
		return "", &unreadable{"holds more than one line", "write nothing but the secret into it"}
	}
	return Secret(secret), nil
}

// bare is an error without the path, which the settings have named.
func bare(err error) string {
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		return at.Err.Error()
	}
	return err.Error()
}
