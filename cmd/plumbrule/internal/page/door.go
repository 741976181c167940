package page

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/secret"
	"plumbrule/records"
)

// shortestToken is how many characters a token must have so that it cannot be guessed.
const shortestToken = 16

// Times after which the door loses patience with a reader, and the size of a request's head. An answer includes a stream of
// events.
const (
	headTime   = 5 * time.Second
	answerTime = 2 * time.Minute
	idleTime   = time.Minute
	closeTime  = 3 * time.Second
	largest    = 16 << 10
)

// mostReaders is how many connections are open at the same time.
const mostReaders = 256

// Door is where the page is served, with who is let in.
type Door struct {
	listener net.Listener
	token    string // empty: none is asked
	open     bool   // others than this machine reach it
	secure   bool
	host     string // as the settings name it
}

// Open listens on the address of the settings. Env gives the value of an environment variable. An error says which setting stands
// against it: an address that others reach without token or client certificates, or a file that cannot be used.
func Open(ctx context.Context, p *records.SitePage, env func(string) string) (*Door, error) {
	address := p.Address()
	if address == "" {
		return nil, errors.New(`listen is "none": no page is to be served`)
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("listen: %w; write an address and a port such as 127.0.0.1:8340", err)
	}
	d := &Door{host: host}
	if d.token, err = tokenOf(p, env); err != nil {
		return nil, err
	}
	settings, err := tlsOf(p)
	if err != nil {
		return nil, err
	}
	d.secure, d.open = settings != nil, !loopback(host)
	if d.open && d.token == "" && p.Clients == "" {
		return nil, fmt.Errorf("the page would be served on %s, where others reach it, and let everybody in; add token-env, token-file or clients to [page], or serve it on 127.0.0.1", address)
	}
	var config net.ListenConfig
	listener, err := config.Listen(ctx, "tcp", address)
	if err != nil {
		return nil, fmt.Errorf("the page cannot be served on %s: %w; choose another address in [page], or end the program that has it", address, err)
	}
	d.listener = newLimited(listener, mostReaders)
	if settings != nil {
		d.listener = tls.NewListener(d.listener, settings)
	}
	return d, nil
}

// Address returns the page's address for a browser.
func (d *Door) Address() string {
	if d.secure {
		return "https://" + d.listener.Addr().String() + "/"
	}
	return "http://" + d.listener.Addr().String() + "/"
}

// Remark says what is not as safe as it could be, without full stop; empty: nothing.
func (d *Door) Remark() string {
	if d.open && !d.secure {
		return "the page and its token go over the network unencrypted; add certificate and key to [page], or serve it behind a proxy that encrypts"
	}
	return ""
}

// Close gives the address up if [Door.Serve] was never called.
func (d *Door) Close() error { return d.listener.Close() }

// Serve lets readers in until the context ends, then ends their streams, lets answers under way finish for some seconds, and
// returns nil. Log gets what goes wrong with single connections.
func (d *Door) Serve(ctx context.Context, s *Server, log *slog.Logger) error {
	server := &http.Server{
		Handler:           d.letIn(s.Handler()),
		ReadHeaderTimeout: headTime, ReadTimeout: 2 * headTime, WriteTimeout: answerTime, IdleTimeout: idleTime, MaxHeaderBytes: largest,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(d.listener) }()
	select {
	case err := <-ended:
		return fmt.Errorf("the page is not served any more: %w", err)
	case <-ctx.Done():
	}
	s.Close()
	limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), closeTime)
	defer cancel()
	if server.Shutdown(limit) != nil {
		_ = server.Close() // who has not read to the end by now goes without
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("the page: %w", err)
	}
	return nil
}

// tokenOf reads the token that readers must give.
func tokenOf(p *records.SitePage, env func(string) string) (string, error) {
	var token, from string
	switch {
	case p.TokenEnv != "":
		token, from = env(p.TokenEnv), "the environment variable "+p.TokenEnv
	case p.TokenFile != "":
		text, err := secret.Read(p.TokenFile)
		if fault, ok := errors.AsType[*secret.Unreadable](err); ok {
			return "", fmt.Errorf("token-file: %s %s; %s", p.TokenFile, fault.What, fault.Mend)
		}
		token, from = text, p.TokenFile
	default:
		return "", nil
	}
	token = strings.TrimSpace(token)
	switch {
	case token == "":
		return "", fmt.Errorf("%s holds no token; put one of at least %d characters there", from, shortestToken)
	case len(token) < shortestToken:
		return "", fmt.Errorf("the token in %s has %d characters, expected at least %d", from, len(token), shortestToken)
	case strings.ContainsFunc(token, func(r rune) bool { return r <= ' ' || r > '~' }):
		return "", fmt.Errorf("the token in %s holds blanks or characters beyond ASCII, which headers cannot carry; choose another", from)
	}
	return token, nil
}

// tlsOf reads the page's certificate and who must have signed those of readers; nil: no TLS.
func tlsOf(p *records.SitePage) (*tls.Config, error) {
	if p.Certificate == "" && p.Key == "" {
		if p.Clients != "" {
			return nil, errors.New("clients: readers must show a certificate, and the page has none of its own; add certificate and key")
		}
		return nil, nil
	}
	pair, err := tls.LoadX509KeyPair(p.Certificate, p.Key)
	if err != nil {
		return nil, fmt.Errorf("certificate %q with key %q: %w", p.Certificate, p.Key, err)
	}
	c := &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}
	if p.Clients != "" {
		text, err := os.ReadFile(p.Clients)
		if err != nil {
			return nil, fmt.Errorf("clients: %w", err)
		}
		c.ClientCAs = x509.NewCertPool()
		if !c.ClientCAs.AppendCertsFromPEM(text) {
			return nil, fmt.Errorf("clients: %s holds no certificate in PEM", p.Clients)
		}
		c.ClientAuth = tls.RequireAndVerifyClientCert
	}
	return c, nil
}

// loopback tells whether only this machine reaches an address.
func loopback(host string) bool {
	if strings.EqualFold(host, "localhost") {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}
