package main

import (
	"encoding/base64"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"strings"
)

// read writes a mail as a person reads it: to whom, the subject, and the plain text.
func read(w io.Writer, r io.Reader) error {
	m, err := mail.ReadMessage(r)
	if err != nil {
		return err
	}
	for _, name := range []string{"To", "Subject"} {
		value, err := new(mime.WordDecoder).DecodeHeader(m.Header.Get(name))
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(w, "%s: %s\n", name, value); err != nil {
			return err
		}
	}
	if _, err := fmt.Fprintln(w); err != nil {
		return err
	}
	return plain(w, m.Header.Get, m.Body)
}

// plain writes the plain text of a mail or of one of its parts.
func plain(w io.Writer, header func(string) string, body io.Reader) error {
	kind, parameters, err := mime.ParseMediaType(header("Content-Type"))
	if err != nil {
		return err
	}
	switch {
	case kind == "text/plain":
		text, err := io.ReadAll(decoded(header("Content-Transfer-Encoding"), body))
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, strings.ReplaceAll(string(text), "\r\n", "\n"))
		return err
	case !strings.HasPrefix(kind, "multipart/"):
		return nil
	}
	for parts := multipart.NewReader(body, parameters["boundary"]); ; {
		part, err := parts.NextRawPart()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if err := plain(w, part.Header.Get, part); err != nil {
			return err
		}
	}
}

func decoded(encoding string, body io.Reader) io.Reader {
	switch strings.ToLower(encoding) {
	case "quoted-printable":
		return quotedprintable.NewReader(body)
	case "base64":
		return base64.NewDecoder(base64.StdEncoding, body)
	}
	return body
}
