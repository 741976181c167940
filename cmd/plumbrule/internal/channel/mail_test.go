package channel_test

import (
	"context"
	"errors"
	"fmt"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// plain are the settings of a server on this machine, without encryption.
func plain(port int) channel.MailSettings {
	return channel.MailSettings{
		Server: "127.0.0.1", Port: port, Security: channel.NoSecurity,
		From: "Wache <watch@works.example>", To: []string{"mk@works.example"}, Timeout: 10 * time.Second,
	}
}

func newMail(t *testing.T, settings channel.MailSettings) *channel.Mail {
	t.Helper()
	mail, err := channel.NewMail("quality", settings)
	if err != nil {
		t.Fatal(err)
	}
	return mail
}

// partly expects that some have got the message, or none.
func partly(t *testing.T, want bool, err error) error {
	t.Helper()
	if problem, ok := errors.AsType[*channel.Error](err); ok && problem.Partly != want {
		t.Errorf("Partly is %v, want %v: %v", problem.Partly, want, err)
	}
	return err
}

func busy(text string) error {
	return &smtp.SMTPError{Code: 451, EnhancedCode: smtp.EnhancedCode{4, 3, 0}, Message: text}
}

func never(text string) error {
	return &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: text}
}

func TestMailArrivesEncryptedAndAuthenticated(t *testing.T) {
	ca := newAuthority(t)
	for _, c := range []struct {
		name       string
		encryption channel.Security
		auth       channel.Auth
		offered    []string
		user       string // as the server knows it then
	}{
		{"starttls", channel.StartTLS, "", nil, ""},
		{"starttls is the default", "", "", nil, ""},
		{"tls", channel.TLS, "", nil, ""},
		{"plain", channel.StartTLS, channel.AuthPlain, []string{"LOGIN", "PLAIN"}, "PLAIN watch"},
		{"login", channel.TLS, channel.AuthLogin, []string{"PLAIN", "LOGIN"}, "LOGIN watch"},
		{"cram-md5", channel.StartTLS, channel.AuthCRAM, []string{"PLAIN", "CRAM-MD5"}, "CRAM-MD5 watch"},
		{"the best behind encryption", channel.TLS, "", []string{"CRAM-MD5", "LOGIN", "PLAIN"}, "PLAIN watch"},
		{"the only one", channel.TLS, "", []string{"LOGIN"}, "LOGIN watch"},
		{"the best in the clear", channel.NoSecurity, "", []string{"PLAIN", "CRAM-MD5"}, "CRAM-MD5 watch"},
		{"plain on this machine", channel.NoSecurity, channel.AuthPlain, []string{"PLAIN"}, "PLAIN watch"},
	} {
		t.Run(c.name, func(t *testing.T) {
			server := &post{tls: ca.sign("127.0.0.1", time.Hour), implicit: c.encryption == channel.TLS, mechanisms: c.offered}
			if c.encryption == channel.NoSecurity {
				server.tls, server.clearAuth = nil, true
			}
			server.open(t)
			settings := plain(server.Port)
			settings.Security, settings.CAFile, settings.Auth = c.encryption, ca.File, c.auth
			if c.user != "" {
				settings.User, settings.Password = goodUser, goodPassword
			}
			outcome{}.check(t, send(t, newMail(t, settings), failedCheck()))
			box := server.box()
			if len(box) != 1 {
				t.Fatalf("%d messages arrived, want 1", len(box))
			}
			if want := c.encryption != channel.NoSecurity; box[0].Encrypted != want {
				t.Errorf("encrypted: %v, want %v", box[0].Encrypted, want)
			}
			if got := strings.Join(server.users, ", "); got != c.user {
				t.Errorf("the server knows %q, want %q", got, c.user)
			}
			if box[0].From != "watch@works.example" || box[0].Hello != "[127.0.0.1]" {
				t.Errorf("from %q, hello %q", box[0].From, box[0].Hello)
			}
		})
	}
}

func TestMailIsNotSentWhereTheWayIsNotAsAskedFor(t *testing.T) {
	ca, stranger := newAuthority(t), newAuthority(t)
	for _, c := range []struct {
		name   string
		server *post
		change func(*channel.MailSettings)
		want   outcome
	}{
		{
			"signed by a stranger",
			&post{tls: stranger.sign("127.0.0.1", time.Hour)}, nil,
			outcome{true, []string{"mail server 127.0.0.1:", "shows a certificate that is not trusted: certificate signed by unknown authority", "ca-file"}},
		},
		{
			"signed by a stranger, tls",
			&post{tls: stranger.sign("127.0.0.1", time.Hour), implicit: true}, func(s *channel.MailSettings) { s.Security = channel.TLS },
			outcome{true, []string{"certificate that is not trusted: certificate signed by unknown authority", "ca-file"}},
		},
		{
			"of the system's authorities",
			&post{tls: ca.sign("127.0.0.1", time.Hour)}, func(s *channel.MailSettings) { s.CAFile = "" },
			outcome{true, []string{"certificate that is not trusted: certificate signed by unknown authority", "ca-file"}},
		},
		{
			"certificate of another host",
			&post{tls: ca.sign("mail.works.example", time.Hour)}, func(s *channel.MailSettings) { s.Server = "localhost" },
			outcome{true, []string{"mail server localhost:", "not trusted: certificate is valid for mail.works.example, not localhost", "as the certificate names it"}},
		},
		{
			"certificate past its end",
			&post{tls: ca.sign("127.0.0.1", -time.Hour)}, nil,
			outcome{true, []string{"not trusted: certificate has expired", "renewed"}},
		},
		{
			"starttls missing",
			&post{}, nil,
			outcome{true, []string{"does not offer STARTTLS, so nothing was sent", `"tls"`}},
		},
		{
			"tls spoken to a server that begins in the clear",
			&post{}, func(s *channel.MailSettings) { s.Security = channel.TLS },
			outcome{true, []string{"does not speak TLS on this port", "check port and security"}},
		},
		{
			"wrong password",
			&post{tls: ca.sign("127.0.0.1", time.Hour), mechanisms: []string{"PLAIN"}}, func(s *channel.MailSettings) { s.User, s.Password = goodUser, "guess" },
			outcome{false, []string{`refused the user "watch" or the password: 535 5.7.8`, "check user and password"}},
		},
		{
			"wrong password by cram",
			&post{tls: ca.sign("127.0.0.1", time.Hour), mechanisms: []string{"CRAM-MD5"}}, func(s *channel.MailSettings) { s.User, s.Password = goodUser, "guess" },
			outcome{false, []string{`refused the user "watch" or the password: 535 5.7.8`}},
		},
		{
			"authentication not offered",
			&post{tls: ca.sign("127.0.0.1", time.Hour)}, func(s *channel.MailSettings) { s.User, s.Password = goodUser, goodPassword },
			outcome{true, []string{"does not offer authentication, so nothing was sent", "leave out user"}},
		},
		{
			"another authentication offered",
			&post{tls: ca.sign("127.0.0.1", time.Hour), mechanisms: []string{"LOGIN"}},
			func(s *channel.MailSettings) { s.User, s.Password, s.Auth = goodUser, goodPassword, channel.AuthCRAM },
			outcome{true, []string{"does not offer authentication by cram-md5, only LOGIN, so nothing was sent"}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			server := c.server
			server.open(t)
			settings := plain(server.Port)
			settings.Security, settings.CAFile = channel.StartTLS, ca.File
			if c.change != nil {
				c.change(&settings)
			}
			err := send(t, newMail(t, settings), failedCheck())
			c.want.check(t, err)
			if strings.Contains(fmt.Sprint(err), "guess") || strings.Contains(fmt.Sprint(err), goodPassword) {
				t.Errorf("the error shows the password: %v", err)
			}
			if box := server.box(); len(box) != 0 || len(server.users) != 0 {
				t.Errorf("something was sent all the same: %v %v", box, server.users)
			}
		})
	}
}

func TestMailIsRefused(t *testing.T) {
	for _, c := range []struct {
		name   string
		server *post
		want   outcome
	}{
		{
			"the sender for good",
			&post{sender: func(string) error { return never("not here\x1b[31m") }},
			outcome{false, []string{`mail server 127.0.0.1:`, `refused the sender watch@works.example: 550 5.1.1 not here\x1b[31m; set from`}},
		},
		{
			"the sender for now",
			&post{sender: func(string) error { return busy("too many") }},
			outcome{true, []string{"does not take the sender watch@works.example now: 451 4.3.0 too many; it will be tried again"}},
		},
		{
			"the recipient for good",
			&post{recipient: func(string) error { return never("who?") }},
			outcome{false, []string{"refused the recipient mk@works.example: 550 5.1.1 who?; check these addresses"}},
		},
		{
			"the recipient for now",
			&post{recipient: func(string) error { return busy("come again") }},
			outcome{true, []string{"refused the recipient mk@works.example: 451 4.3.0 come again; it will be tried again for these"}},
		},
		{
			"the text for good",
			&post{data: func(net.Conn) error { return never("looks like spam") }},
			outcome{false, []string{"refused the message: 550 5.1.1 looks like spam"}},
		},
		{
			"the text for now",
			&post{data: func(net.Conn) error { return busy("no space") }},
			outcome{true, []string{"does not take the message now: 451 4.3.0 no space; it will be tried again"}},
		},
		{
			"by hanging up in the middle of the text",
			&post{data: func(c net.Conn) error { return errors.Join(c.Close(), errors.New("gone")) }},
			outcome{true, []string{"closed the connection before it had answered"}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			server := c.server
			server.open(t)
			c.want.check(t, partly(t, false, send(t, newMail(t, plain(server.Port)), failedCheck())))
			if box := server.box(); len(box) != 0 {
				t.Errorf("%d messages arrived", len(box))
			}
		})
	}
}

// A message that is sent again after a temporary error is the same one.
func TestMailIsTakenTheSecondTime(t *testing.T) {
	tries := 0
	server := (&post{data: func(net.Conn) error {
		if tries++; tries == 1 {
			return busy("come again")
		}
		return nil
	}}).open(t)
	mail := newMail(t, plain(server.Port))
	outcome{true, []string{"does not take the message now: 451"}}.check(t, send(t, mail, failedCheck()))
	outcome{}.check(t, send(t, mail, failedCheck()))
	outcome{}.check(t, send(t, mail, failedCheck()))
	box := server.box()
	if len(box) != 2 || box[0].Text != box[1].Text {
		t.Errorf("want the same message twice, got %d: %v", len(box), box)
	}
	if !strings.Contains(box[0].Text, "\nMessage-ID: <01-7f3a@works.example>\r\n") {
		t.Errorf("no Message-ID made from the message's ID in\n%s", box[0].Text)
	}
}

// One address that is full, or wrong, does not keep an alert from the others, and they do not get it once more because of it.
func TestMailReachesThoseWhoCanBeReached(t *testing.T) {
	full, gone := true, true
	server := (&post{recipient: func(to string) error {
		switch {
		case to == "full@works.example" && full:
			return busy("mailbox full")
		case to == "gone@works.example" && gone:
			return never("no such user")
		}
		return nil
	}}).open(t)
	settings := plain(server.Port)
	settings.To = []string{"mk@works.example", "full@works.example", "gone@works.example", "Jürgen <jb@works.example>"}
	mail := newMail(t, settings)
	outcome{true, []string{
		"refused the recipient full@works.example: 451 4.3.0 mailbox full and gone@works.example: 550 5.1.1 no such user",
		"and took the message for mk@works.example and jb@works.example; it will be tried again for these",
	}}.check(t, partly(t, true, send(t, mail, failedCheck())))
	outcome{true, []string{"full@works.example: 451", "gone@works.example: 550"}}.check(t, partly(t, true, send(t, mail, failedCheck())))
	full = false
	outcome{false, []string{"gone@works.example: 550", "took the message for full@works.example; check these addresses"}}.check(t, partly(t, true, send(t, mail, failedCheck())))
	gone = false
	other := failedCheck()
	other.ID = "another"
	outcome{}.check(t, send(t, mail, other))

	var to [][]string
	for _, e := range server.box() {
		to = append(to, e.To)
	}
	want := [][]string{{"mk@works.example", "jb@works.example"}, {"full@works.example"}, {"mk@works.example", "full@works.example", "gone@works.example", "jb@works.example"}}
	if diff := cmp.Diff(want, to); diff != "" {
		t.Error(diff)
	}
}

// A route names persons; what the settings of the channel say is for those that name nobody.
func TestMailGoesToWhomTheMessageNames(t *testing.T) {
	server := (&post{}).open(t)
	settings := plain(server.Port)
	settings.To = nil
	mail := newMail(t, settings)
	outcome{false, []string{`message 01-7f3a names nobody to send it to, and neither does channel "quality"; add`}}.check(t, send(t, mail, failedCheck()))
	for _, c := range []struct {
		to   []string
		want outcome
	}{
		{[]string{"jb@works.example"}, outcome{}},
		{[]string{"jb@works.example", "mk@works.example"}, outcome{}},
		{[]string{"jb@works.example\r\nRCPT TO:<x@y.example>"}, outcome{false, []string{"message 01-7f3a cannot be sent: channel \"quality\": to is"}}},
	} {
		m := failedCheck()
		m.To = c.to
		c.want.check(t, send(t, mail, m))
		if box := server.box(); len(c.want.says) == 0 && (len(box) == 0 || !slices.Equal(box[len(box)-1].To, c.to)) {
			t.Errorf("%v: arrived %v", c.to, box)
		}
	}
	if box := server.box(); len(box) != 2 {
		t.Errorf("%d messages arrived, want 2", len(box))
	}
}

// What a proper server would not do.
func TestMailSurvivesOddServers(t *testing.T) {
	opening := []string{">220 here", "<EHLO", ">250 hello", "<MAIL FROM:<watch@works.example>"}
	upTo := func(steps ...string) []string { return slices.Concat(opening, steps) }
	for _, c := range []struct {
		name  string
		steps []string
		want  outcome
	}{
		{"hangs up at once", nil, outcome{true, []string{"closed the connection before it had answered"}}},
		{"greets with a no", []string{">554 no service here"}, outcome{true, []string{"refused the connection: 554 no service here"}}},
		{"wants another name", []string{">220 here", "<EHLO [127.0.0.1]", ">550 who?", "<HELO", ">550 who?"}, outcome{true, []string{"refused the greeting as [127.0.0.1]: 550 who?", "set hello"}}},
		{"knows no EHLO", []string{">220 here", "<EHLO", ">500 what?", "<HELO", ">250 hello", "<MAIL", ">250 yes", "<RCPT", ">250 yes", "<DATA", ">354 go on", ".", ">250 taken", "<QUIT", ">221 bye"}, outcome{}},
		{"closes for the night at a recipient", upTo(">250 yes", "<RCPT", ">421 closing"), outcome{true, []string{"does not take the recipient mk@works.example now: 421 closing"}}},
		{"hangs up instead of taking the text", upTo(">250 yes", "<RCPT", ">250 yes", "<DATA", ">354 go on", "."), outcome{true, []string{"closed the connection before it had answered"}}},
		{"takes the text and hangs up", upTo(">250 yes", "<RCPT", ">250 yes", "<DATA", ">354 go on", ".", ">250 taken"), outcome{}},
		{"takes the text and does not say good-bye", upTo(">250 yes", "<RCPT", ">250 yes", "<DATA", ">354 go on", ".", ">250 taken", "<QUIT", "hang"), outcome{}},
		{"speaks something else", []string{">HTTP/1.1 400 Bad Request"}, outcome{true, []string{"could not be talked to"}}},
		{"does not stop talking", []string{"talk"}, outcome{true, []string{"answered more than 1 MiB", "right host and port"}}},
		{"says nothing", []string{"hang"}, outcome{true, []string{"did not finish within 1.5s"}}},
		{"falls silent in the middle", upTo(">250 yes", "hang"), outcome{true, []string{"did not finish within 1.5s"}}},
		{"falls silent at the end", upTo(">250 yes", "<RCPT", ">250 yes", "<DATA", ">354 go on", ".", "hang"), outcome{true, []string{"did not finish within 1.5s", "timeout can be raised"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			settings := plain(script(t, c.steps...))
			settings.Timeout = 1500 * time.Millisecond
			c.want.check(t, send(t, newMail(t, settings), failedCheck()))
		})
	}
}

// Somebody on the line who answers in the server's place before the encryption cannot have an alert dropped.
func TestMailIsNotRefusedBeforeEncryption(t *testing.T) {
	for name, steps := range map[string][]string{
		"greeting": {">554 go away"},
		"hello":    {">220 here", "<EHLO", ">550 go away", "<HELO", ">550 go away"},
		"starttls": {">220 here", "<EHLO", ">250-hello\n250 STARTTLS", "<STARTTLS", ">554 go away"},
	} {
		t.Run(name, func(t *testing.T) {
			settings := plain(script(t, steps...))
			settings.Security = channel.StartTLS
			outcome{true, []string{"refused", "go away"}}.check(t, send(t, newMail(t, settings), failedCheck()))
		})
	}
}

func TestMailServerCannotBeReached(t *testing.T) {
	listener := listen(t)
	port := portOf(listener)
	listener.Close()
	outcome{true, []string{fmt.Sprintf("mail server 127.0.0.1:%d is not listening; start it", port)}}.check(t, send(t, newMail(t, plain(port)), failedCheck()))

	settings := plain(25)
	settings.Server, settings.Security, settings.Timeout = "mail.invalid", channel.StartTLS, 3*time.Second // RFC 2606: never a name
	err := send(t, newMail(t, settings), failedCheck())
	outcome{true, []string{"mail server mail.invalid:25 "}}.check(t, err)
}

// The watcher has to stop within seconds whatever a server does.
func TestMailStopsWithTheWatcher(t *testing.T) {
	settings := plain(script(t, ">220 here", "hang"))
	ctx, cancel := context.WithCancel(t.Context())
	time.AfterFunc(50*time.Millisecond, cancel)
	start := time.Now()
	outcome{true, []string{"was not waited for because the watcher stops"}}.check(t, newMail(t, settings).Send(ctx, failedCheck()))
	if took := time.Since(start); took > 3*time.Second {
		t.Errorf("took %s", took)
	}
}
