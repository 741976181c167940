package inbox

import (
	"path"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Endings with which files say something about another one.
const (
	sidecarEnding = ".toml"
	doneEnding    = ".done"
	reasonEnding  = ".reason.txt"
)

// cutEnding takes an ending away, in capitals as well.
func cutEnding(name, ending string) (string, bool) {
	n := len(name) - len(ending)
	if n <= 0 || !strings.EqualFold(name[n:], ending) {
		return name, false
	}
	return name[:n], true
}

// ours reports whether a file of the inbox is nobody's drop: a hidden one, such
// as keeps an empty folder under version control, or one for people to read.
func ours(name string) bool {
	return strings.HasPrefix(name, ".") || name == refusedFolder || name == "README" || name == "README.md"
}

// unfinished reports whether a name is one that programs give to a file while
// they write it.
func unfinished(name string) bool {
	if strings.HasSuffix(name, "~") {
		return true
	}
	for _, ending := range []string{".tmp", ".part", ".partial", ".crdownload"} {
		if _, ok := cutEnding(name, ending); ok {
			return true
		}
	}
	return false
}

// longestName is the length in bytes of the longest name taken in: with what is
// put behind it, it must still be one for any file system.
const longestName = 200

// unusable says what keeps a name from being one that records and people can
// write; empty: nothing.
func unusable(name string) string {
	switch {
	case !utf8.ValidString(name):
		return "its name is no UTF-8"
	case strings.ContainsFunc(name, unprintable):
		return "its name has control characters or others that cannot be seen in it"
	case strings.Contains(name, `\`):
		return "its name has a backslash in it"
	case len(name) > longestName:
		return "its name is longer than " + strconv.Itoa(longestName) + " bytes"
	}
	return ""
}

func unprintable(r rune) bool { return !unicode.IsPrint(r) }

// safe returns a name that can be written, as near to the given one as can be.
func safe(name string) string {
	name = strings.ToValidUTF8(name, "_")
	name = strings.Map(func(r rune) rune {
		if unprintable(r) || r == '\\' || r == '/' {
			return '_'
		}
		return r
	}, name)
	if name = strings.TrimLeft(name, "."); name == "" {
		name = "unnamed"
	}
	ending := path.Ext(name)
	if len(ending) > 20 {
		ending = ""
	}
	stem := strings.TrimSuffix(name, ending)
	for len(stem)+len(ending) > longestName {
		_, size := utf8.DecodeLastRuneInString(stem)
		stem = stem[:len(stem)-size]
	}
	return stem + ending
}

// numbered puts a number from 2 on behind a name, before its ending.
func numbered(name string, n int) string {
	if n < 2 {
		return name
	}
	ending := path.Ext(name)
	return strings.TrimSuffix(name, ending) + "-" + strconv.Itoa(n) + ending
}
