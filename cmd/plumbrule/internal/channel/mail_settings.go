package channel

import (
	"crypto/tls"
	"net"
	"net/mail"
	"strconv"
	"strings"
	"time"
)

// Security is how the way to a mail server is secured.
type Security string

// The ways to secure it. The ports are those that RFC 6409, RFC 8314 and RFC 5321 give to them.
const (
	StartTLS    Security = "starttls" // begun in the clear and then demanded; port 587
	TLS         Security = "tls"      // from the first byte; port 465
	NoSecurity  Security = "none"     // to this machine; port 25
	anySecurity          = `"starttls", "tls" or "none"`
)

// MailSettings say how mail is handed over, and from whom to whom it goes.
type MailSettings struct {
	Server   string
	Port     int      // 0: the usual one for the security
	Security Security // empty: starttls
	// Unencrypted allows Security none to other machines: whoever sits on the line then reads the alerts and the
	// password, and can keep them from arriving.
	Unencrypted bool
	// CAFile is a file of PEM certificates of authorities, trusted instead of the system's; empty: the system's.
	CAFile string

	// Hello is the name this machine gives itself; empty: its address, as RFC 5321, 4.1.4 has it for machines without a name.
	Hello string

	User     string // empty: no authentication
	Password Secret
	Auth     Auth // empty: the best that the server offers

	From    string   // RFC 5322 address: watch@works.example or "Watch <watch@works.example>"
	To      []string // whom messages go to that name nobody; may be empty
	Timeout time.Duration
}

// Auth is how a user proves to be one.
type Auth string

// The ways of authentication: RFC 4616, LOGIN (never standardised, widely offered), RFC 2195.
const (
	AuthPlain Auth = "plain"
	AuthLogin Auth = "login"
	AuthCRAM  Auth = "cram-md5"
)

// Mail hands messages to a mail server (RFC 5321, RFC 6409).
type Mail struct {
	name     string
	settings MailSettings
	address  string // host:port
	tls      *tls.Config
	from     *mail.Address
	to       []*mail.Address
	taken    *taken
}

// NewMail checks the settings and reads the file of authorities. It talks to nobody. The error is a [*SettingError].
func NewMail(name string, settings MailSettings) (*Mail, error) {
	m := &Mail{name: name, settings: settings, taken: newTaken()}
	for _, check := range []func() error{m.checkServer, m.checkAuth, m.checkAddresses} {
		if err := check(); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// Name returns the channel's name.
func (m *Mail) Name() string { return m.name }

func (m *Mail) checkServer() (err error) {
	s := &m.settings
	var port int
	switch s.Security {
	case "", StartTLS:
		s.Security, port = StartTLS, 587
	case TLS:
		port = 465
	case NoSecurity:
		port = 25
	default:
		return m.setting("security", found(string(s.Security)), anySecurity, "")
	}
	if s.Port == 0 {
		s.Port = port
	}
	switch {
	case !hostName(s.Server):
		return m.setting("server", found(s.Server), "the name or address of the mail server, without its port", "")
	case s.Port < 1 || s.Port > 65535:
		return m.setting("port", strconv.Itoa(s.Port), "1 to 65535", "leave it out for "+strconv.Itoa(port))
	case s.Hello != "" && !hostName(s.Hello):
		return m.setting("hello", found(s.Hello), "this machine's name", "leave it out to give the address instead")
	case s.Security == NoSecurity && !loopback(s.Server) && !s.Unencrypted:
		return m.setting("security", `"none" on the way to `+strconv.Quote(s.Server), `"starttls" or "tls" to other machines than this one`,
			"if the way there is safe otherwise, say so by unencrypted = true")
	}
	m.address = net.JoinHostPort(s.Server, strconv.Itoa(s.Port))
	if s.Timeout, err = limitOf(m.name, s.Timeout, mailTimeLimit); err != nil {
		return err
	}
	m.tls, err = encrypted(m.name, s.Server, s.CAFile)
	return err
}

func (m *Mail) checkAuth() error {
	s := m.settings
	switch s.Auth {
	case "", AuthPlain, AuthLogin, AuthCRAM:
	default:
		return m.setting("auth", found(string(s.Auth)), `"plain", "login" or "cram-md5"`, "leave it out to take what the server offers")
	}
	switch {
	case s.User == "" && (s.Password != "" || s.Auth != ""):
		return m.setting("user", "missing", "the user that the password belongs to", "")
	case s.User != "" && s.Password == "":
		return m.setting("password", "missing", "that of the user "+strconv.Quote(s.User), "leave out user to send without authentication")
	case strings.ContainsRune(s.User+string(s.Password), 0):
		return m.setting("user or password", "a text with a NUL character", "one without", "")
	}
	return nil
}

func (m *Mail) checkAddresses() (err error) {
	if m.from, err = m.checkAddress("from", m.settings.From); err != nil {
		return err
	}
	m.to, err = m.checkRecipients(m.settings.To)
	return err
}

func (m *Mail) checkRecipients(texts []string) (to []*mail.Address, err error) {
	named := map[string]bool{}
	for _, text := range texts {
		address, err := m.checkAddress("to", text)
		if err != nil {
			return nil, err
		}
		if named[address.Address] {
			return nil, m.setting("to", foundAll(texts), "each address once", "leave out the second "+address.Address)
		}
		named[address.Address] = true
		to = append(to, address)
	}
	return to, nil
}

// checkAddress takes addresses that can be told to any server: without quoting, in ASCII. Names may have any letters.
func (m *Mail) checkAddress(key, text string) (*mail.Address, error) {
	refuse := func(mend string) (*mail.Address, error) {
		return nil, m.setting(key, found(text), `an address such as "quality@works.example" or "Quality <quality@works.example>"`, mend)
	}
	address, err := mail.ParseAddress(text)
	if err != nil {
		return refuse("")
	}
	local, domain := split(address.Address)
	switch {
	case !ascii(address.Address):
		return refuse("write the domain in its xn-- form; letters outside ASCII before the @ are not supported")
	case strings.ContainsAny(local, "\" \t\\()<>,:;[]@") || !hostName(domain):
		return refuse("")
	}
	address.Name = line(address.Name, longestLine)
	return address, nil
}

func (m *Mail) setting(key, found, expected, mend string) error {
	return &SettingError{Channel: m.name, Key: key, Found: found, Expected: expected, Mend: mend}
}

// hostName reports whether text may be a host's name or address. Whether there is one is found out when it is called.
func hostName(text string) bool {
	if net.ParseIP(text) != nil {
		return true
	}
	sign := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' || r == '.'
	}
	return text != "" && len(text) <= 253 && strings.TrimFunc(text, sign) == ""
}

func ascii(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool { return r < 0x21 || r > 0x7e })
}

// split cuts an address into what stands before and behind its last @.
func split(address string) (local, domain string) {
	at := strings.LastIndexByte(address, '@')
	return address[:max(at, 0)], address[at+1:]
}
