package records

import (
	"fmt"
	"net/mail"
	"net/netip"
	"net/url"
	"path"
	"strings"

	"plumbrule/records/source"
)

// The forms of texts that are looked at more closely.
const (
	variableForm = `name of an environment variable, "PLUMBRULE_PASSWORD"`
	outsideForm  = `path from the root of the file system, "/etc/plumbrule/token"`
	mailForm     = `address, "mk@works.example"`
)

// objection says what a text was expected to be and what would mend it; it is
// zero where nothing is wrong. A text that may be a secret in a wrong place is
// not repeated.
type objection struct {
	expected, mend string
	secret         bool
}

// checked is a key whose value is a text of a certain form.
func checked[T any](name, form, doc string, judge func(string) objection, at func(*T) *string) key[T] {
	k := text(name, doc, at)
	k.form = form
	k.read = func(d *decoder, n source.Node, into *T) {
		if s, ok := d.checkedText(n, name, judge); ok {
			*at(into) = s
		}
	}
	return k
}

// checkedList is a key whose value is a list of such texts.
func checkedList[T any](name, form, doc string, judge func(string) objection, at func(*T) *[]string) key[T] {
	k := texts(name, form, doc, at)
	k.read = func(d *decoder, n source.Node, into *T) {
		d.eachElement(n, name, func(e source.Node) {
			if s, ok := d.checkedText(e, name, judge); ok {
				*at(into) = append(*at(into), s)
			}
		})
	}
	return k
}

func (d *decoder) checkedText(n source.Node, name string, judge func(string) objection) (string, bool) {
	s, ok := d.text(n, name)
	if !ok {
		return "", false
	}
	o := judge(s)
	switch {
	case o == objection{}:
		return s, true
	case !o.secret:
		d.report("unusable-setting", n.ValueOffset(), fmt.Sprintf("%s is %s, expected %s", name, quote(s), o.expected), o.mend)
	case !d.enough(d.file, "unusable-setting"):
		d.add(Diagnostic{
			Code: "unusable-setting", File: d.file, Position: d.doc.PositionOf(n.ValueOffset()),
			Message: fmt.Sprintf("%s is not %s", name, o.expected), Mend: o.mend, Excerpt: name + " = …\n" + strings.Repeat(" ", len(name+" = ")) + "^",
		})
	}
	return "", false
}

// patterns is a key whose value is a list of patterns as shells have them.
func patterns[T any](name, doc string, at func(*T) *[]string) key[T] {
	return checkedList(name, `list of patterns, ["scan-*"]`, doc, patternFault, at)
}

func patternFault(s string) objection {
	if _, err := path.Match(s, ""); err != nil {
		return objection{expected: "a pattern", mend: "close the bracket, or write a backslash before it: * is any text, ? one character, [ab] one of these"}
	}
	return objection{}
}

func dropNameFault(s string) objection {
	if _, fault := (&Drop{Name: s}).expression(); fault != "" {
		return objection{
			expected: "a pattern of file names that can be read in one way: " + fault,
			mend:     `let a character stand between that no id has, as in "{device}+{artifact}.ply"`,
		}
	}
	return objection{}
}

// variableFault judges the name of an environment variable (POSIX.1-2017, Base
// Definitions, 8.1, with small letters allowed as well).
func variableFault(s string) objection {
	for i := range len(s) {
		if c := s[i]; c != '_' && (!isAlphanumeric(c) || i == 0 && c <= '9') {
			return objection{expected: "the name of an environment variable", mend: "write the name of the variable that holds it, in letters, digits and _; the secret itself does not belong in the repository", secret: true}
		}
	}
	return objection{}
}

// outsideFault judges the path of a file that is kept outside the repository.
func outsideFault(s string) objection {
	drive := len(s) > 2 && isAlphanumeric(s[0]) && s[1] == ':' && (s[2] == '\\' || s[2] == '/')
	if s[0] != '/' && !drive {
		return objection{expected: "a path from the root of the file system", mend: "write the whole path of a file outside the repository; the secret itself does not belong in it", secret: true}
	}
	return objection{}
}

// mailFault judges a bare mail address (RFC 5322, 3.4.1).
func mailFault(s string) objection {
	a, err := mail.ParseAddress(s)
	if err != nil || a.Name != "" || a.Address != s || strings.ContainsAny(s, "\r\n") {
		return objection{expected: "a mail address", mend: "write the address alone, like mk@works.example"}
	}
	return objection{}
}

// hostFault judges the name or address of a server.
func hostFault(s string) objection {
	if _, err := netip.ParseAddr(s); err == nil {
		return objection{}
	}
	for label := range strings.SplitSeq(s, ".") {
		if !goodID(label) || strings.Contains(label, "_") {
			return objection{expected: "the name or the address of a server", mend: "write it without port, like mail.works.example"}
		}
	}
	return objection{}
}

// addressFault judges the address of a service. A password in it would be in
// the repository.
func addressFault(s string) objection {
	u, err := url.Parse(s)
	switch {
	case err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" || u.Opaque != "":
		return objection{expected: "an address of the web", mend: "write it like https://hooks.works.example/plumbrule", secret: strings.Contains(s, "@")}
	case u.User != nil:
		return objection{expected: "an address without user and password", mend: "leave them out, and sign by secret-env or secret-file: secrets do not belong in the repository", secret: true}
	case u.Fragment != "":
		return objection{expected: "an address that can be posted to", mend: "leave out # and what follows"}
	}
	return objection{}
}

// listenFault judges where a page is served.
func listenFault(s string) objection {
	if s == NoPage {
		return objection{}
	}
	if _, ok := listenAddress(s); !ok {
		return objection{expected: `an address and a port, or "none"`, mend: "write it like 127.0.0.1:8340 or [::1]:8340; 0.0.0.0:8340 and [::]:8340 are all addresses of the machine"}
	}
	return objection{}
}

// listenAddress reads an address and a port.
func listenAddress(s string) (netip.AddrPort, bool) {
	if port, local := strings.CutPrefix(s, "localhost:"); local {
		s = "127.0.0.1:" + port
	}
	a, err := netip.ParseAddrPort(s)
	return a, err == nil && a.Port() != 0
}
