// Package secret reads passwords, keys and tokens from files.
package secret

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
)

// Unreadable is a file that a secret cannot be taken from.
type Unreadable struct{ What, Mend string }

// Error says what is wrong with the file; the file itself is named by whoever asked.
func (u *Unreadable) Error() string { return u.What }

// longestSecret is more than any password or key has in bytes.
const longestSecret = 4 << 10

// forOthers are the permissions that a secret's file must not give: reading and
// writing to everybody, and writing to its group. A group may read it, by which
// system services are given secrets.
const forOthers fs.FileMode = 0o027

// Read reads a secret from a file, without the line's end that editors put
// behind it. The error is an [*Unreadable].
func Read(file string) (string, error) {
	// A pipe without a writer would be waited for.
	if about, err := os.Stat(file); err == nil && !about.Mode().IsRegular() {
		return "", &Unreadable{"is no file", "write the secret into a file of its own"}
	}
	f, err := os.Open(file)
	if err != nil {
		return "", &Unreadable{"cannot be read: " + bare(err), "look whether it is there and the watcher's user may read it"}
	}
	defer f.Close() //nolint:errcheck // it was only read
	about, err := f.Stat()
	if err == nil && runtime.GOOS != "windows" && about.Mode().Perm()&forOthers != 0 {
		return "", &Unreadable{"others may read or change: " + about.Mode().Perm().String(), "chmod 600"}
	}
	text, err := io.ReadAll(io.LimitReader(f, longestSecret+1))
	if err != nil {
		return "", &Unreadable{"cannot be read: " + bare(err), "look into the system's log"}
	}
	secret := strings.TrimSuffix(strings.TrimSuffix(string(text), "\n"), "\r")
	switch {
	case len(text) > longestSecret:
		return "", &Unreadable{"holds more than 4096 bytes", "write nothing but the secret into it"}
	case secret == "":
		return "", &Unreadable{"is empty", "write the secret into it"}
	case strings.ContainsAny(secret, "\r\n"):
		return "", &Unreadable{"holds more than one line", "write nothing but the secret into it"}
	}
	return secret, nil
}

// bare is an error without the path, which the settings have named.
func bare(err error) string {
	if at, ok := errors.AsType[*fs.PathError](err); ok {
		return at.Err.Error()
	}
	return err.Error()
}
