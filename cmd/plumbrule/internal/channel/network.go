package channel

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"net"
	"os"
	"strings"
	"syscall"
	"time"
)

// trouble says in words what kept a conversation from coming to an answer. Nothing was refused by it: see the package
// comment. limit is the channel's own time limit, which ended ctx unless its caller did.
func trouble(ctx context.Context, place string, limit time.Duration, err error) *Error {
	out := &Error{Place: place, Err: err}
	var (
		dns       *net.DNSError
		untrusted *tls.CertificateVerificationError
		noTLS     tls.RecordHeaderError
	)
	switch {
	case errors.Is(ctx.Err(), context.Canceled):
		out.What, out.Mend = "was not waited for because the watcher stops", "it will be tried again"
	case ctx.Err() != nil, errors.Is(err, os.ErrDeadlineExceeded), errors.Is(err, context.DeadlineExceeded):
		out.What, out.Mend = "did not finish within "+limit.String(), "look whether it answers, and how fast; timeout can be raised"
	case errors.Is(err, errTalksTooMuch):
		out.What, out.Mend = "answered "+errTalksTooMuch.Error(), "look whether this is the right host and port"
	case errors.As(err, &untrusted):
		out.What, out.Mend = "shows a certificate that is not trusted: "+certificateTrouble(untrusted.Err), certificateMend(untrusted.Err)
	case errors.As(err, &noTLS):
		out.What, out.Mend = "does not speak TLS on this port", "check port and security"
	case errors.As(err, &dns) && dns.IsNotFound:
		out.What, out.Mend = "was not found: no such name", "check the host's name"
	case errors.As(err, &dns):
		out.What, out.Mend = "could not be looked up: "+line(dns.Err, longestLine), "check the name service of this machine"
	case errors.Is(err, syscall.ECONNREFUSED):
		out.What, out.Mend = "is not listening", "start it, or check host and port"
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, syscall.ECONNRESET), errors.Is(err, syscall.EPIPE):
		out.What, out.Mend = "closed the connection before it had answered", "its log may say why"
	default:
		out.What = "could not be talked to: " + line(err.Error(), longestLine)
	}
	return out
}

func certificateTrouble(err error) string {
	return line(strings.TrimPrefix(err.Error(), "x509: "), longestLine)
}

func certificateMend(err error) string {
	var (
		name    x509.HostnameError
		expired x509.CertificateInvalidError
	)
	switch {
	case errors.As(err, &name):
		return "write the host as the certificate names it"
	case errors.As(err, &expired) && expired.Reason == x509.Expired:
		return "have the certificate renewed, or set this machine's clock"
	}
	return "name the authority that signed it as ca-file"
}

// encrypted returns how TLS is spoken: certificates are always verified, against the system's authorities or those in the
// file of PEM certificates instead.
func encrypted(channel, host, caFile string) (*tls.Config, error) {
	config := &tls.Config{ServerName: host, MinVersion: tls.VersionTLS12}
	if caFile == "" {
		return config, nil
	}
	text, err := os.ReadFile(caFile)
	if err != nil {
		return nil, &SettingError{Channel: channel, Key: "ca-file", Found: found(caFile), Expected: "a file of PEM certificates", Mend: err.Error()}
	}
	config.RootCAs = x509.NewCertPool()
	if !config.RootCAs.AppendCertsFromPEM(text) {
		return nil, &SettingError{Channel: channel, Key: "ca-file", Found: found(caFile) + ", in which there is none", Expected: "a file of PEM certificates"}
	}
	return config, nil
}

// loopback reports whether a host, as it is written, is this machine.
func loopback(host string) bool {
	if strings.EqualFold(host, "localhost") {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// mostHeard bounds what a conversation takes in; handshakes and certificates are far smaller.
const mostHeard = 1 << 20

var errTalksTooMuch = errors.New("more than 1 MiB")

// guarded is a connection that takes in only so much and whose time limit is its context's: libraries on top of it may not
// move it.
type guarded struct {
	net.Conn
	left int
}

func (g *guarded) Read(p []byte) (int, error) {
	if g.left <= 0 {
		return 0, errTalksTooMuch
	}
	n, err := g.Conn.Read(p[:min(len(p), g.left)])
	g.left -= n
	return n, err
}

func (*guarded) SetDeadline(time.Time) error      { return nil }
func (*guarded) SetReadDeadline(time.Time) error  { return nil }
func (*guarded) SetWriteDeadline(time.Time) error { return nil }

// dial connects. The connection is cut when ctx ends; hangUp cuts it before, and has to be called.
func dial(ctx context.Context, address string) (conn net.Conn, hangUp func(), err error) {
	var dialer net.Dialer
	raw, err := dialer.DialContext(ctx, "tcp", address)
	if err != nil {
		return nil, nil, err
	}
	stop := context.AfterFunc(ctx, func() { _ = raw.Close() })
	return &guarded{Conn: raw, left: mostHeard}, func() {
		stop()
		_ = raw.Close()
	}, nil
}
