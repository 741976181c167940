package channel

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/mail"
	"net/textproto"
	"strings"
	"time"

	"github.com/wneessen/go-mail/smtp"
)

// Send hands the message to the server, for all recipients at once: those it names or else those of the settings. Where the server takes it for some of them only, those
// have it: the error says who has not, and sending the same message again reaches only them, in this process.
//
// An answer of the server that begins with 5 is a refusal (RFC 5321, 4.2.1); all else is temporary. Whether a server that
// fell silent at the very end had taken the message cannot be known. The message is then sent again, with the same
// Message-ID, by which mailboxes can tell that it is the same.
func (m *Mail) Send(ctx context.Context, msg Message) error {
	if err := msg.sendable(); err != nil {
		return err
	}
	all, err := m.recipients(msg)
	if err != nil {
		return err
	}
	text, err := m.compose(msg, all)
	if err != nil {
		return err
	}
	var open []string
	for _, to := range all {
		if !m.taken.has(msg.ID, to.Address) {
			open = append(open, to.Address)
		}
	}
	if len(open) == 0 {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, m.settings.Timeout)
	defer cancel()
	refused, err := m.deliver(ctx, text, open)
	if err == nil && len(refused) > 0 {
		err = m.partly(open, refused, len(all))
	}
	if err == nil {
		m.taken.forget(msg.ID)
		return nil
	}
	if problem, ok := errors.AsType[*Error](err); ok && problem.Temporary() {
		if taken := without(open, refused); len(refused) > 0 && len(taken) > 0 {
			m.taken.add(msg.ID, taken)
		}
		return err
	}
	m.taken.forget(msg.ID)
	return err
}

// recipients are those that the message names, or else those of the settings.
func (m *Mail) recipients(msg Message) ([]*mail.Address, error) {
	all := m.to
	if len(msg.To) > 0 {
		var err error
		if all, err = m.checkRecipients(msg.To); err != nil {
			return nil, &Error{Place: "message " + msg.token(), What: "cannot be sent: " + err.Error(), Refused: true, Err: err}
		}
	}
	if len(all) == 0 {
		return nil, &Error{
			Place: "message " + msg.token(), What: "names nobody to send it to, and neither does channel " + said(m.name),
			Mend: "add to to the channel, or persons to the route", Refused: true,
		}
	}
	return all, nil
}

// refusal is a recipient that a server did not accept, and what it said.
type refusal struct {
	address string
	answer  *textproto.Error
}

// deliver carries one message over one connection. With a nil error it was taken for all but the refused.
func (m *Mail) deliver(ctx context.Context, text []byte, to []string) (refused []refusal, err error) {
	conn, hangUp, err := dial(ctx, m.address)
	if err != nil {
		return nil, m.trouble(ctx, err)
	}
	defer hangUp()
	client, err := m.greet(ctx, conn)
	if err != nil {
		return nil, err
	}
	if err := m.authenticate(ctx, client); err != nil {
		return nil, err
	}
	if err := client.Mail("<" + m.from.Address + ">"); err != nil {
		return nil, m.answered(ctx, err, "the sender "+m.from.Address, "set from to an address that this server sends for")
	}
	for _, address := range to {
		err := client.Rcpt("<" + address + ">")
		answer, ok := errors.AsType[*textproto.Error](err)
		switch {
		case err == nil:
		case ok && answer.Code != codeClosing:
			refused = append(refused, refusal{address, answer})
		default:
			return nil, m.answered(ctx, err, "the recipient "+address, "")
		}
	}
	if len(refused) < len(to) {
		if err := m.hand(ctx, client, text); err != nil {
			return nil, err
		}
	}
	// It is the server's now, or nobody's, whatever becomes of the farewell; a slow one is not waited for.
	farewell := time.AfterFunc(time.Second, hangUp)
	defer farewell.Stop()
	_ = client.Quit()
	return refused, nil
}

// codeClosing is what a server says before it hangs up, instead of an answer (RFC 5321, 3.8).
const codeClosing = 421

// greet speaks up to where the way is encrypted as it was asked for. No answer on the way there refuses the message:
// the server has not heard of it, and before the encryption it may be somebody else who answers.
func (m *Mail) greet(ctx context.Context, conn net.Conn) (*smtp.Client, error) {
	if m.settings.Security == TLS {
		encrypted := tls.Client(conn, m.tls)
		if err := encrypted.HandshakeContext(ctx); err != nil {
			return nil, m.trouble(ctx, err)
		}
		conn = encrypted
	}
	client, err := smtp.NewClient(conn, m.settings.Server)
	if err != nil {
		return nil, m.unmet(ctx, err, "the connection", "look whether this machine may send by it")
	}
	client.SkipSMTPUTF8(true) // addresses are ASCII here, and a relay behind this server may not know it
	if err := client.Hello(m.hello(conn)); err != nil {
		return nil, m.unmet(ctx, err, "the greeting as "+m.hello(conn), "set hello to this machine's full name")
	}
	if m.settings.Security != StartTLS {
		return client, nil
	}
	if offered, _ := client.Extension("STARTTLS"); !offered {
		return nil, &Error{
			Place: m.place(), What: "does not offer STARTTLS, so nothing was sent",
			Mend: `look why it does not, or set security to "tls" if its port is for that`,
		}
	}
	if err := client.StartTLS(m.tls); err != nil {
		return nil, m.unmet(ctx, err, "STARTTLS", "look into its log")
	}
	return client, nil
}

// hello is this machine's name, or its address on this connection.
func (m *Mail) hello(conn net.Conn) string {
	if m.settings.Hello != "" {
		return m.settings.Hello
	}
	ip := net.IPv4(127, 0, 0, 1)
	if local, ok := conn.LocalAddr().(*net.TCPAddr); ok {
		ip = local.IP
	}
	if ip.To4() == nil {
		return "[IPv6:" + ip.String() + "]"
	}
	return "[" + ip.String() + "]"
}

// hand gives the text to the server and waits until it has taken it.
func (m *Mail) hand(ctx context.Context, client *smtp.Client, text []byte) error {
	w, err := client.Data()
	if err != nil {
		return m.answered(ctx, err, "the message", "")
	}
	if _, err := w.Write(text); err != nil {
		return m.trouble(ctx, err)
	}
	if err := w.Close(); err != nil {
		return m.answered(ctx, err, "the message", "")
	}
	return nil
}

// partly says who has not got the message. to are those it was sent to this time, of all.
func (m *Mail) partly(to []string, refused []refusal, all int) error {
	out := &Error{Place: m.place(), Refused: true, Mend: "check these addresses", Partly: len(refused) < all}
	var each []string
	for _, r := range refused {
		if r.answer.Code < 500 {
			out.Refused, out.Mend = false, "it will be tried again for these"
		}
		each = append(each, fmt.Sprintf("%s: %s", r.address, reply(r.answer)))
	}
	out.Err = refused[0].answer
	out.What = "refused the recipient " + strings.Join(each, " and ")
	if others := without(to, refused); len(others) > 0 {
		out.What += " and took the message for " + strings.Join(others, " and ")
	}
	return out
}

func without(all []string, refused []refusal) (rest []string) {
	for _, address := range all {
		known := false
		for _, r := range refused {
			known = known || r.address == address
		}
		if !known {
			rest = append(rest, address)
		}
	}
	return rest
}

func (m *Mail) place() string { return "mail server " + m.address }

func (m *Mail) trouble(ctx context.Context, err error) error {
	return trouble(ctx, m.place(), m.settings.Timeout, err)
}

// answered turns an error of the conversation into words: the server has answered no to something, or it has not answered.
func (m *Mail) answered(ctx context.Context, err error, what, mend string) error {
	answer, ok := errors.AsType[*textproto.Error](err)
	if !ok {
		return m.trouble(ctx, err)
	}
	out := &Error{Place: m.place(), What: "refused " + what + ": " + reply(answer), Mend: mend, Refused: answer.Code >= 500, Err: answer}
	if !out.Refused {
		out.What = "does not take " + what + " now: " + reply(answer)
		out.Mend = "it will be tried again"
	}
	return out
}

// unmet is a no that was said before the message was spoken of.
func (m *Mail) unmet(ctx context.Context, err error, what, mend string) error {
	answer, ok := errors.AsType[*textproto.Error](err)
	if !ok {
		return m.trouble(ctx, err)
	}
	return &Error{Place: m.place(), What: "refused " + what + ": " + reply(answer), Mend: mend, Err: answer}
}

// reply is a server's answer in one line.
func reply(answer *textproto.Error) string {
	return fmt.Sprintf("%d %s", answer.Code, line(answer.Msg, longestLine))
}
