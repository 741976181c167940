package channel_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"io"
	"log"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"go.uber.org/goleak"

	"plumbrule/cmd/plumbrule/internal/channel"
)

// Whatever a test did, nothing runs on after it.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// stopped is a clock that stands.
type stopped time.Time

func (s stopped) Now() time.Time { return time.Time(s) }

// instant is when the messages of the tests are made: 07:30 on a winter's morning, an hour ahead of UTC.
func instant() time.Time {
	return time.Date(2026, 11, 2, 7, 30, 0, 0, time.FixedZone("CET", 3600))
}

// failedCheck is a message of the propeller works: one alert is new, one has been acknowledged, one is over.
func failedCheck() channel.Message {
	return channel.Message{
		ID: "01-7f3a", At: instant(), Kind: channel.KindRaised, Site: "Propellerwerk Nord",
		Subject: "scan-02 unfit: Ø 12 µm over its limit",
		Text:    "scan-02 is unfit.\n\n.A line that begins with a full stop.\n",
		HTML:    "<!doctype html><p>scan-02 is <b>unfit</b>.",
		Alerts: []channel.Alert{
			{
				ID: "3f0c9a11b2e4", Subject: "scan-02", Code: "check-failed", About: "A-C", DeviceKind: "handheld scanner", Place: "hall 3", Severity: "unfit",
				Sentence: "the check of 2 November failed: A-C, error +78 µm, limit 66 µm", Mend: "check again, then have it calibrated",
				Sources: []string{"checks/scan-02/2026/2026-11-02T0712-bar-weekly.toml:14"},
				State:   channel.StateRaised, Raised: instant().Add(-time.Minute),
			},
			{
				ID: "8b21d07790ac", Subject: "gauge-11", Code: "calibration-overdue", Severity: "unfit", Sentence: "calibration was due on 31 October",
				State: channel.StateAcknowledged, Raised: instant().Add(-48 * time.Hour),
				Acknowledged: &channel.Acknowledgement{By: "mk", Why: "at the laboratory until Friday", At: instant().Add(-24 * time.Hour)},
			},
			{
				ID: "c4e88f5d0a63", Subject: "bar-3s", Code: "certificate-expired", Severity: "unknown", Sentence: "its certificate expired",
				State: channel.StateCleared, Raised: instant().Add(-72 * time.Hour), Cleared: instant().Add(-time.Hour),
			},
		},
	}
}

// outcome is what a delivery is expected to come to.
type outcome struct {
	temporary bool
	says      []string // parts of the error, in their order; none for a delivery
}

func (want outcome) check(t *testing.T, err error) {
	t.Helper()
	if len(want.says) == 0 {
		if err != nil {
			t.Errorf("got the error %v, want none", err)
		}
		return
	}
	problem, ok := errors.AsType[*channel.Error](err)
	if !ok {
		t.Fatalf("got %v (%T), want an *Error", err, err)
	}
	if problem.Temporary() != want.temporary {
		t.Errorf("Temporary() = %v, want %v: %v", problem.Temporary(), want.temporary, err)
	}
	rest := err.Error()
	for _, part := range want.says {
		_, after, found := strings.Cut(rest, part)
		if !found {
			t.Fatalf("%q is missing in, or misplaced in, %q", part, err)
		}
		rest = after
	}
}

// send delivers with a limit of the test's own, so that a channel that hangs is a failure and not a halt.
func send(t *testing.T, c channel.Channel, m channel.Message) error {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	return c.Send(ctx, m)
}

// authority signs certificates for the servers of a test.
type authority struct {
	t    *testing.T
	key  *ecdsa.PrivateKey
	cert *x509.Certificate
	File string // its own certificate as PEM
}

func newAuthority(t *testing.T) *authority {
	t.Helper()
	a := &authority{t: t, key: newKey(t), File: filepath.Join(t.TempDir(), "ca.pem")}
	template := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test authority"}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageCertSign, NotBefore: time.Now().Add(-48 * time.Hour), NotAfter: time.Now().Add(48 * time.Hour),
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, a.key.Public(), a.key)
	if err != nil {
		t.Fatal(err)
	}
	if a.cert, err = x509.ParseCertificate(der); err != nil {
		t.Fatal(err)
	}
	text := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})
	if err := os.WriteFile(a.File, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return a
}

func newKey(t *testing.T) *ecdsa.PrivateKey {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return key
}

// sign returns a server's certificate for the host, which ends that long after now (or before, if negative).
func (a *authority) sign(host string, ends time.Duration) *tls.Config {
	a.t.Helper()
	der, key := a.issue(host, ends)
	return &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{{Certificate: [][]byte{der}, PrivateKey: key}}}
}

// signFiles does so for a server that reads files.
func (a *authority) signFiles(host string) (certificate, key string) {
	a.t.Helper()
	der, private := a.issue(host, time.Hour)
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		a.t.Fatal(err)
	}
	dir := a.t.TempDir()
	certificate, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for file, block := range map[string]*pem.Block{certificate: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(file, pem.EncodeToMemory(block), 0o600); err != nil {
			a.t.Fatal(err)
		}
	}
	return certificate, key
}

func (a *authority) issue(host string, ends time.Duration) ([]byte, *ecdsa.PrivateKey) {
	a.t.Helper()
	key := newKey(a.t)
	template := &x509.Certificate{
		SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: host},
		NotBefore: time.Now().Add(-24 * time.Hour), NotAfter: time.Now().Add(ends), KeyUsage: x509.KeyUsageDigitalSignature,
	}
	if ip := net.ParseIP(host); ip != nil {
		template.IPAddresses = []net.IP{ip}
	} else {
		template.DNSNames = []string{host}
	}
	der, err := x509.CreateCertificate(rand.Reader, template, a.cert, key.Public(), a.key)
	if err != nil {
		a.t.Fatal(err)
	}
	return der, key
}

// listen opens a port of this machine.
func listen(t *testing.T) net.Listener {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	return listener
}

func portOf(listener net.Listener) int { return listener.Addr().(*net.TCPAddr).Port }

// checkSetting expects a SettingError with that text in it, or none if there is no text.
func checkSetting(t *testing.T, err error, want string) {
	t.Helper()
	_, ok := errors.AsType[*channel.SettingError](err)
	switch {
	case want == "" && err != nil:
		t.Errorf("got the error %v, want none", err)
	case want != "" && (!ok || !strings.Contains(err.Error(), want)):
		t.Errorf("got the error %v, want a SettingError with %q", err, want)
	}
}

// harmless reports whether a terminal or a reader would see nothing but letters, signs and blanks.
func harmless(text string) bool {
	return utf8.ValidString(text) && !strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsGraphic(r) })
}

// quiet is where servers of the tests log to.
func quiet() *log.Logger { return log.New(io.Discard, "", 0) }
