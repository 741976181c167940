// Mailbox is a mail server for trying out alerts: it takes every mail that is sent to it on this machine, and puts it into a
// folder, as it came (1.eml) and as a person reads it (1.txt). It delivers nothing to anybody and guards nothing.
//
//	go run ./examples/mailbox -listen 127.0.0.1:2525 -into mails
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"
	"strconv"
	"sync"

	"github.com/emersion/go-smtp"
)

func main() {
	listen := flag.String("listen", "127.0.0.1:2525", "address and port, of this machine")
	into := flag.String("into", "mails", "folder for the mails")
	flag.Parse()
	if err := os.MkdirAll(*into, 0o755); err != nil {
		log.Fatal(err)
	}
	s := smtp.NewServer(&box{folder: *into})
	s.Addr, s.Domain, s.MaxMessageBytes = *listen, "localhost", largest
	log.Printf("mails sent to %s go into %s", *listen, *into)
	log.Fatal(s.ListenAndServe())
}

// largest is the size of a mail in bytes above which it is refused.
const largest = 16 << 20

// box is the folder.
type box struct {
	folder string
	mu     sync.Mutex
	count  int
}

// NewSession begins to take a mail.
func (b *box) NewSession(*smtp.Conn) (smtp.Session, error) { return &session{box: b}, nil }

// session takes mails over one connection.
type session struct {
	box *box
	to  []string
}

// Mail takes the sender.
func (s *session) Mail(string, *smtp.MailOptions) error { return nil }

// Rcpt takes a recipient.
func (s *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.to = append(s.to, to)
	return nil
}

// Data takes the mail itself, and answers when it is in the folder.
func (s *session) Data(r io.Reader) error {
	mail, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	return s.box.put(mail)
}

// Reset forgets the recipients.
func (s *session) Reset() { s.to = nil }

// Logout ends the connection.
func (s *session) Logout() error { return nil }

// put writes a mail under the next number that is free.
func (b *box) put(mail []byte) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	var text bytes.Buffer
	if err := read(&text, bytes.NewReader(mail)); err != nil {
		fmt.Fprintf(&text, "\nit cannot be read: %v\n", err)
	}
	for {
		b.count++
		name := filepath.Join(b.folder, strconv.Itoa(b.count))
		f, err := os.OpenFile(name+".eml", os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if os.IsExist(err) {
			continue
		}
		if err != nil {
			return err
		}
		if _, err := f.Write(mail); err != nil {
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
		return os.WriteFile(name+".txt", text.Bytes(), 0o644)
	}
}
