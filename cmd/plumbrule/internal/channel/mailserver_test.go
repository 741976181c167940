package channel_test

import (
	"bufio"
	"crypto/hmac"
	"crypto/md5"
	"crypto/tls"
	"encoding/hex"
	"errors"
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"
)

// post is a mail server with everything it has taken. What it does when is said by its functions; nil means yes.
type post struct {
	tls        *tls.Config // offered by STARTTLS
	implicit   bool        // spoken from the first byte instead
	mechanisms []string    // of authentication; empty: none is offered
	clearAuth  bool        // offered without encryption too

	sender    func(address string) error
	recipient func(address string) error
	data      func(conn net.Conn) error // before the text is read

	Port int

	mu    sync.Mutex
	taken []envelope
	users []string // who has proved to be one
}

type envelope struct {
	From      string
	To        []string
	Text      string
	Encrypted bool
	Hello     string
}

const (
	goodUser     = "watch"
	goodPassword = "pa ss \"wörd\""
)

// open starts the server; it is closed with the test.
func (p *post) open(t *testing.T) *post {
	t.Helper()
	server := smtp.NewServer(smtp.BackendFunc(func(c *smtp.Conn) (smtp.Session, error) {
		return &postSession{post: p, conn: c}, nil
	}))
	server.Domain = "localhost"
	server.AllowInsecureAuth = p.clearAuth
	server.MaxMessageBytes = 1 << 20
	server.ErrorLog = quiet()
	listener := listen(t)
	p.Port = portOf(listener)
	if p.implicit {
		listener = tls.NewListener(listener, p.tls)
	} else {
		server.TLSConfig = p.tls
	}
	var wait sync.WaitGroup
	wait.Go(func() {
		if err := server.Serve(listener); err != nil && !errors.Is(err, smtp.ErrServerClosed) {
			t.Error(err)
		}
	})
	t.Cleanup(func() {
		_ = server.Close()
		wait.Wait()
	})
	return p
}

// box returns what was taken so far.
func (p *post) box() []envelope {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]envelope{}, p.taken...)
}

type postSession struct {
	post *post
	conn *smtp.Conn
	now  envelope
}

func (s *postSession) Reset()        { s.now = envelope{} }
func (s *postSession) Logout() error { return nil }

func (s *postSession) Mail(from string, _ *smtp.MailOptions) error {
	s.now = envelope{From: from, Hello: s.conn.Hostname()}
	_, s.now.Encrypted = s.conn.TLSConnectionState()
	if s.post.sender != nil {
		return s.post.sender(from)
	}
	return nil
}

func (s *postSession) Rcpt(to string, _ *smtp.RcptOptions) error {
	if s.post.recipient != nil {
		if err := s.post.recipient(to); err != nil {
			return err
		}
	}
	s.now.To = append(s.now.To, to)
	return nil
}

func (s *postSession) Data(r io.Reader) error {
	if s.post.data != nil {
		if err := s.post.data(s.conn.Conn()); err != nil {
			return err
		}
	}
	text, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	s.now.Text = string(text)
	s.post.mu.Lock()
	defer s.post.mu.Unlock()
	s.post.taken = append(s.post.taken, s.now)
	return nil
}

func (s *postSession) AuthMechanisms() []string { return s.post.mechanisms }

func (s *postSession) Auth(mechanism string) (sasl.Server, error) {
	known := func(user, password string) error {
		if user != goodUser || password != goodPassword {
			return smtp.ErrAuthFailed
		}
		s.post.mu.Lock()
		defer s.post.mu.Unlock()
		s.post.users = append(s.post.users, mechanism+" "+user)
		return nil
	}
	switch mechanism {
	case sasl.Plain:
		return sasl.NewPlainServer(func(_, user, password string) error { return known(user, password) }), nil
	case sasl.Login:
		return &loginServer{known: known}, nil
	case "CRAM-MD5":
		return &cramServer{known: known, challenge: "<1896.697170952@localhost>"}, nil
	}
	return nil, smtp.ErrAuthUnknownMechanism
}

// loginServer asks for the user and then for the password.
type loginServer struct {
	known func(user, password string) error
	asked int
	user  string
}

func (s *loginServer) Next(response []byte) (challenge []byte, done bool, err error) {
	s.asked++
	switch s.asked {
	case 1:
		return []byte("Username:"), false, nil
	case 2:
		s.user = string(response)
		return []byte("Password:"), false, nil
	}
	return nil, true, s.known(s.user, string(response))
}

// cramServer expects the user and the challenge's HMAC-MD5 keyed with the password (RFC 2195).
type cramServer struct {
	known     func(user, password string) error
	challenge string
	asked     bool
}

func (s *cramServer) Next(response []byte) (challenge []byte, done bool, err error) {
	if !s.asked {
		s.asked = true
		return []byte(s.challenge), false, nil
	}
	mac := hmac.New(md5.New, []byte(goodPassword))
	mac.Write([]byte(s.challenge))
	user, digest, _ := strings.Cut(string(response), " ")
	if digest != hex.EncodeToString(mac.Sum(nil)) {
		return nil, true, smtp.ErrAuthFailed
	}
	return nil, true, s.known(user, goodPassword)
}

// script plays a server that no proper one would be: a line that begins with ">" is sent, "<" waits for a line of the client that begins so, "." waits for
// the end of a text, and "hang" waits until the client has gone. At its end the connection is cut.
func script(t *testing.T, steps ...string) (port int) {
	t.Helper()
	listener := listen(t)
	var wait sync.WaitGroup
	wait.Go(func() {
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			_ = conn.SetDeadline(time.Now().Add(15 * time.Second))
			play(t, conn, steps)
			_ = conn.Close()
		}
	})
	t.Cleanup(func() {
		_ = listener.Close()
		wait.Wait()
	})
	return portOf(listener)
}

func play(t *testing.T, conn net.Conn, steps []string) {
	t.Helper()
	reader := bufio.NewReader(conn)
	for _, step := range steps {
		switch {
		case strings.HasPrefix(step, ">"):
			if _, err := io.WriteString(conn, strings.ReplaceAll(step[1:], "\n", "\r\n")+"\r\n"); err != nil {
				return // the client may have gone
			}
		case strings.HasPrefix(step, "<"):
			got, err := reader.ReadString('\n')
			if err != nil || !strings.HasPrefix(got, step[1:]) {
				t.Errorf("the client said %q (%v), the script waits for %q", got, err, step[1:])
				return
			}
		case step == ".":
			for {
				got, err := reader.ReadString('\n')
				if err != nil {
					t.Errorf("the text does not end: %v", err)
					return
				}
				if got == ".\r\n" {
					break
				}
			}
		case step == "hang":
			_, _ = io.Copy(io.Discard, reader)
		case step == "talk":
			for {
				if _, err := io.WriteString(conn, strings.Repeat("220-and on\r\n", 1000)); err != nil {
					return
				}
			}
		}
	}
}
