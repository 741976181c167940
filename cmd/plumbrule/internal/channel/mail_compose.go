package channel

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"net/mail"
	"strings"
	"time"

	gomail "github.com/wneessen/go-mail"
)

// compose writes the message as mail (RFC 5322, RFC 2045). The same message gives the same bytes.
func (m *Mail) compose(msg Message, to []*mail.Address) ([]byte, error) {
	out := gomail.NewMsg(gomail.WithNoDefaultUserAgent(), gomail.WithBoundary(boundary(msg)))
	out.SetAddrHeaderFromMailAddress(gomail.HeaderFrom, m.from)
	out.SetAddrHeaderFromMailAddress(gomail.HeaderTo, to...)
	// What looks like an encoded word (RFC 2047) would be decoded by the reader, to anything.
	out.Subject(strings.ReplaceAll(line(msg.Subject, longestLine), "=?", "= ?"))
	out.SetDateWithValue(msg.At.Truncate(time.Second))
	_, domain := split(m.from.Address)
	out.SetMessageIDWithValue(msg.token() + "@" + domain)
	// RFC 3834: no absence notes, please.
	out.SetGenHeader("Auto-Submitted", "auto-generated")

	out.SetBodyString(gomail.TypeTextPlain, lines(msg.Text, longestText))
	// A page cannot be cut without breaking it; what it says is in the text too.
	if msg.HTML != "" && len(msg.HTML) <= longestText {
		out.AddAlternativeString(gomail.TypeTextHTML, strings.ToValidUTF8(msg.HTML, "\ufffd"))
	}
	var text bytes.Buffer
	if _, err := out.WriteTo(&text); err != nil {
		return nil, &Error{Place: "message " + msg.token(), What: "could not be written as mail: " + line(err.Error(), longestLine), Refused: true, Err: err}
	}
	return text.Bytes(), nil
}

// boundary is a line that stands nowhere in the message: nobody can write one that holds the hash of itself.
func boundary(msg Message) string {
	hash := sha256.New()
	for _, part := range []string{msg.ID, msg.Text, msg.HTML} {
		sum := sha256.Sum256([]byte(part))
		hash.Write(sum[:])
	}
	return "part-" + hex.EncodeToString(hash.Sum(nil))[:40]
}
