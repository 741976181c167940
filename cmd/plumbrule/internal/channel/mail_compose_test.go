package channel_test

import (
	"errors"
	"io"
	"maps"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	netmail "net/mail"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// letter is a mail as the standard library reads it.
type letter struct {
	header netmail.Header
	parts  []part // one, if it is not multipart
	raw    string
}

type part struct{ kind, text string }

func readLetter(t *testing.T, raw string) letter {
	t.Helper()
	message, err := netmail.ReadMessage(strings.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	l := letter{header: message.Header, raw: raw}
	kind, values, err := mime.ParseMediaType(message.Header.Get("Content-Type"))
	if err != nil {
		t.Fatalf("%v in\n%s", err, raw)
	}
	if !strings.HasPrefix(kind, "multipart/") {
		text, err := io.ReadAll(quotedprintable.NewReader(message.Body))
		if err != nil {
			t.Fatal(err)
		}
		l.parts = []part{{kind, string(text)}}
		return l
	}
	if kind != "multipart/alternative" {
		t.Errorf("content type %q", kind)
	}
	reader := multipart.NewReader(message.Body, values["boundary"])
	for {
		p, err := reader.NextPart() // decodes quoted-printable
		if errors.Is(err, io.EOF) {
			return l
		}
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(p)
		if err != nil {
			t.Fatal(err)
		}
		kind, values, err := mime.ParseMediaType(p.Header.Get("Content-Type"))
		if err != nil || !strings.EqualFold(values["charset"], "utf-8") {
			t.Errorf("part %v %v", p.Header, err)
		}
		l.parts = append(l.parts, part{kind, string(text)})
	}
}

// subject is the subject as a reader shows it.
func (l letter) subject(t *testing.T) string {
	t.Helper()
	text, err := new(mime.WordDecoder).DecodeHeader(l.header.Get("Subject"))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// posted sends the message to a server on this machine and returns what arrived.
func posted(t *testing.T, change func(*channel.MailSettings), m channel.Message) letter {
	t.Helper()
	server := (&post{}).open(t)
	settings := plain(server.Port)
	if change != nil {
		change(&settings)
	}
	outcome{}.check(t, send(t, newMail(t, settings), m))
	box := server.box()
	if len(box) != 1 {
		t.Fatalf("%d messages arrived, want 1", len(box))
	}
	return readLetter(t, box[0].Text)
}

func TestLetter(t *testing.T) {
	l := posted(t, func(s *channel.MailSettings) {
		s.From = `"Wächter, Halle 3" <watch@works.example>`
		s.To = []string{"mk@works.example", `"Jürgen \"Jo\" Bär" <jb@works.example>`}
	}, failedCheck())

	wantNames := []string{"Auto-Submitted", "Content-Type", "Date", "From", "Message-Id", "Mime-Version", "Subject", "To"}
	if diff := cmp.Diff(wantNames, slices.Sorted(maps.Keys(l.header))); diff != "" {
		t.Errorf("headers: %s", diff)
	}
	for name, want := range map[string]string{
		"Auto-Submitted": "auto-generated",                  // RFC 3834, 5
		"Date":           "Mon, 02 Nov 2026 07:30:00 +0100", // RFC 5322, 3.3
		"Message-Id":     "<01-7f3a@works.example>",
		"Mime-Version":   "1.0",
	} {
		if got := l.header.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if got, want := l.subject(t), "scan-02 unfit: Ø 12 µm over its limit"; got != want {
		t.Errorf("subject %q, want %q", got, want)
	}
	from, err := l.header.AddressList("From")
	if err != nil || len(from) != 1 || *from[0] != (netmail.Address{Name: "Wächter, Halle 3", Address: "watch@works.example"}) {
		t.Errorf("from %v %v", from, err)
	}
	to, err := l.header.AddressList("To")
	want := []*netmail.Address{{Address: "mk@works.example"}, {Name: `Jürgen "Jo" Bär`, Address: "jb@works.example"}}
	if diff := cmp.Diff(want, to); err != nil || diff != "" {
		t.Errorf("to %v %s", err, diff)
	}
	wantParts := []part{
		{"text/plain", "scan-02 is unfit.\r\n\r\n.A line that begins with a full stop.\r\n"},
		{"text/html", "<!doctype html><p>scan-02 is <b>unfit</b>."},
	}
	if diff := cmp.Diff(wantParts, l.parts, cmp.AllowUnexported(part{})); diff != "" {
		t.Error(diff)
	}
	for row := range strings.SplitSeq(l.raw, "\r\n") {
		if len(row) > 78 || strings.ContainsFunc(row, func(r rune) bool { return r > 0x7e || r < 0x20 && r != '\t' }) { // RFC 5322, 2.1.1
			t.Errorf("the line %q is too long or has signs outside ASCII", row)
		}
	}
}

func TestLetterWithoutPage(t *testing.T) {
	m := failedCheck()
	m.HTML = ""
	want := []part{{"text/plain", "scan-02 is unfit.\r\n\r\n.A line that begins with a full stop.\r\n"}}
	if diff := cmp.Diff(want, posted(t, nil, m).parts, cmp.AllowUnexported(part{})); diff != "" {
		t.Error(diff)
	}
}

// Whatever stands in the records and the settings, the letter has the headers and parts that it has without.
func TestLetterCannotBeForged(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(*channel.Message)
		subject string
	}{
		"header by a line":   {func(m *channel.Message) { m.Subject = "a\r\nBcc: all@works.example\r\n\r\nbody" }, "a Bcc: all@works.example body"},
		"header by a return": {func(m *channel.Message) { m.Subject = "a\rBcc: all@works.example" }, "a Bcc: all@works.example"},
		"NUL and escape":     {func(m *channel.Message) { m.Subject = "a\x00\x1b[31mb" }, `a\x00\x1b[31mb`},
		"direction":          {func(m *channel.Message) { m.Subject = "un\u202efit" }, `un\u202efit`},
		"encoded word":       {func(m *channel.Message) { m.Subject = "=?utf-8?q?a=0D=0AX-Other:_b?=" }, "= ?utf-8?q?a=0D=0AX-Other:_b?="},
		"no UTF-8":           {func(m *channel.Message) { m.Subject = "a\xff\xfe" }, `a\xff\xfe`},
		"one long word":      {func(m *channel.Message) { m.Subject = strings.Repeat("x", 5000) }, strings.Repeat("x", 200) + "… (4800 bytes more)"},
		"only blanks":        {func(m *channel.Message) { m.Subject = strings.Repeat(" ", 300) }, ""},
		"ID":                 {func(m *channel.Message) { m.ID = "a>\r\nBcc: all@works.example\r\n" }, "scan-02 unfit: Ø 12 µm over its limit"},
		"end of the text":    {func(m *channel.Message) { m.Text = "a\r\n.\r\nMAIL FROM:<x@y.example>\r\n" }, "scan-02 unfit: Ø 12 µm over its limit"},
		"parts":              {func(m *channel.Message) { m.Text = "--part\r\nContent-Type: text/html\r\n\r\n<b>" }, "scan-02 unfit: Ø 12 µm over its limit"},
	} {
		t.Run(name, func(t *testing.T) {
			m := failedCheck()
			c.change(&m)
			l := posted(t, nil, m)
			if len(l.header) != 8 || len(l.parts) != 2 {
				t.Errorf("%d headers and %d parts, want 8 and 2, in\n%s", len(l.header), len(l.parts), l.raw)
			}
			if got := l.subject(t); got != c.subject {
				t.Errorf("subject %q, want %q", got, c.subject)
			}
			for row := range strings.SplitSeq(l.raw, "\r\n") {
				if len(row) > 998 { // RFC 5322, 2.1.1
					t.Errorf("a line of %d signs", len(row))
				}
			}
		})
	}
}

func TestLetterIsBounded(t *testing.T) {
	m := failedCheck()
	m.Text, m.HTML = strings.Repeat("a line of a text\n", 200_000), strings.Repeat("<p>", 1_000_000)
	server := (&post{}).open(t)
	outcome{false, []string{"refused the message: 552"}}.check(t, send(t, newMail(t, plain(server.Port)), m)) // this one takes 1 MiB

	m.Text = strings.Repeat("a line of a text\n", 40_000)
	l := posted(t, nil, m)
	if len(l.parts) != 1 || l.parts[0].kind != "text/plain" {
		t.Errorf("a page of 3 MB is sent")
	}
}

func TestLetterIsTheSameEachTime(t *testing.T) {
	first := posted(t, nil, failedCheck()).raw
	if again := posted(t, nil, failedCheck()).raw; again != first {
		t.Error(cmp.Diff(first, again))
	}
}

func TestMailSettings(t *testing.T) {
	good := channel.MailSettings{Server: "mail.works.example", From: "watch@works.example", To: []string{"mk@works.example"}}
	if _, err := channel.NewMail("quality", good); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		change func(*channel.MailSettings)
		want   string // the error's text has it; empty: the settings are good
	}{
		{func(s *channel.MailSettings) { s.Server = "" }, `channel "quality": server is missing, expected the name or address of the mail server`},
		{func(s *channel.MailSettings) { s.Server = "mail.works.example:25" }, `server is "mail.works.example:25"`},
		{func(s *channel.MailSettings) { s.Server = "::1" }, ""},
		{func(s *channel.MailSettings) { s.Port = 70000 }, "port is 70000, expected 1 to 65535; leave it out for 587"},
		{func(s *channel.MailSettings) { s.Security = "ssl" }, `security is "ssl", expected "starttls", "tls" or "none"`},
		{func(s *channel.MailSettings) { s.Security = channel.NoSecurity }, `security is "none" on the way to "mail.works.example", expected "starttls" or "tls" to other machines than this one; if the way`},
		{func(s *channel.MailSettings) { s.Security, s.Unencrypted = channel.NoSecurity, true }, ""},
		{func(s *channel.MailSettings) { s.Security, s.Server = channel.NoSecurity, "localhost" }, ""},
		{func(s *channel.MailSettings) { s.Security, s.Server = channel.NoSecurity, "127.0.0.2" }, ""},
		{func(s *channel.MailSettings) { s.Security, s.Server = channel.NoSecurity, "localhost.works.example" }, "expected \"starttls\""},
		{func(s *channel.MailSettings) { s.CAFile = "testdata/none.pem" }, `ca-file is "testdata/none.pem", expected a file of PEM certificates; open`},
		{func(s *channel.MailSettings) { s.CAFile = "testdata/message.json" }, `ca-file is "testdata/message.json", in which there is none, expected`},
		{func(s *channel.MailSettings) { s.Hello = "a b" }, `hello is "a b"`},
		{func(s *channel.MailSettings) { s.User = "watch" }, `password is missing, expected that of the user "watch"`},
		{func(s *channel.MailSettings) { s.Password = "x" }, "user is missing"},
		{func(s *channel.MailSettings) { s.User, s.Password, s.Auth = "a", "b", "md5" }, `auth is "md5"`},
		{func(s *channel.MailSettings) { s.User, s.Password = "a", "b\x00c" }, "user or password is a text with a NUL"},
		{func(s *channel.MailSettings) { s.From = "" }, "from is missing, expected an address"},
		{func(s *channel.MailSettings) { s.From = "watch@wörks.example" }, "xn--"},
		{func(s *channel.MailSettings) { s.From = `"a b"@works.example` }, "from is"},
		{func(s *channel.MailSettings) { s.From = "a@works.example, b@works.example" }, "from is"},
		{func(s *channel.MailSettings) { s.From = "a@works.example\r\nBcc: b@works.example" }, "from is"},
		{func(s *channel.MailSettings) { s.To = nil }, ""},
		{func(s *channel.MailSettings) { s.To = []string{"mk@works.example", "MK <mk@works.example>"} }, "each address once"},
		{func(s *channel.MailSettings) { s.Timeout = time.Hour }, "timeout is 1h0m0s, expected more than 0 and at most 10m0s; leave it out for 30s"},
		{func(s *channel.MailSettings) { s.Timeout = -1 }, "timeout is -1ns"},
	} {
		settings := good
		c.change(&settings)
		_, err := channel.NewMail("quality", settings)
		checkSetting(t, err, c.want)
	}
}
