package channel

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"net/url"
	"strconv"
	"time"
)

// HTTPSettings say how a receiver of HTTP is reached.
type HTTPSettings struct {
	URL string // https, or http to this machine
	// Unencrypted allows http to other machines: whoever sits on the line then reads the alerts and can keep them from arriving.
	Unencrypted bool
	// CAFile is a file of PEM certificates of authorities, trusted instead of the system's; empty: the system's.
	CAFile string
	// Proxy is a proxy's URL, "environment" for what HTTPS_PROXY and its like say, or empty for none.
	Proxy string

	Bearer   Secret // sent as Authorization: Bearer (RFC 6750), if not empty
	User     string // sent with Password by basic authentication (RFC 7617), if not empty
	Password Secret

	Timeout time.Duration
}

// poster posts JSON to one URL.
type poster struct {
	what     string // "webhook", for errors
	url      *url.URL
	settings HTTPSettings
	client   *http.Client
}

// fromEnvironment is the value of Proxy that asks for the environment's.
const fromEnvironment = "environment"

func newPoster(channel, what string, s HTTPSettings) (*poster, error) {
	setting := func(key, found, expected, mend string) error {
		return &SettingError{Channel: channel, Key: key, Found: found, Expected: expected, Mend: mend}
	}
	at, err := url.Parse(s.URL)
	// A URL may hold a key, so no more of it is shown than its host.
	switch {
	case err != nil || at.Host == "" || at.Scheme != "https" && at.Scheme != "http":
		return nil, setting("url", "missing or no such address", `one like "https://hooks.works.example/alerts"`, "")
	case at.User != nil:
		return nil, setting("url", "one with a user in it", "one without", "give user and password by themselves")
	case at.Scheme == "http" && !loopback(at.Hostname()) && !s.Unencrypted:
		return nil, setting("url", "one of http to "+strconv.Quote(at.Host), "https to other machines than this one",
			"if the way there is safe otherwise, say so by unencrypted = true")
	case s.User == "" && s.Password != "":
		return nil, setting("user", "missing", "the user that the password belongs to", "")
	case s.User != "" && s.Bearer != "":
		return nil, setting("user", found(s.User)+" beside a bearer token", "one or the other", "")
	}
	if s.Timeout, err = limitOf(channel, s.Timeout, timeLimit); err != nil {
		return nil, err
	}
	p := &poster{what: what, url: at, settings: s}
	transport := &http.Transport{
		DisableKeepAlives:      true, // nothing is left open between two messages
		MaxResponseHeaderBytes: 64 << 10,
	}
	if transport.TLSClientConfig, err = encrypted(channel, at.Hostname(), s.CAFile); err != nil {
		return nil, err
	}
	switch s.Proxy {
	case "":
	case fromEnvironment:
		transport.Proxy = http.ProxyFromEnvironment
	default:
		proxy, err := url.Parse(s.Proxy)
		if err != nil || proxy.Host == "" {
			return nil, setting("proxy", "no address", `"environment", or one like "http://proxy.works.example:3128"`, "leave it out for none")
		}
		transport.Proxy = http.ProxyURL(proxy)
	}
	p.client = &http.Client{Transport: transport, CheckRedirect: p.mayFollow}
	return p, nil
}

// mostRedirects is enough for a moved path; more is a circle.
const mostRedirects = 3

// mayFollow lets a message go on to another path of the same server, as a POST. Elsewhere it has no business, and as a
// GET, which the older redirects make of it, it would arrive without its body.
func (p *poster) mayFollow(next *http.Request, before []*http.Request) error {
	if len(before) > mostRedirects || next.Method != http.MethodPost || next.URL.Scheme != p.url.Scheme || next.URL.Host != p.url.Host {
		return http.ErrUseLastResponse
	}
	return nil
}

// mostQuoted is how much of an answer is read: enough for an error. An answer that says yes is not read at all.
const mostQuoted = 1 << 10

// post sends body once. The error is an [*Error].
func (p *poster) post(ctx context.Context, body []byte, header http.Header) error {
	ctx, cancel := context.WithTimeout(ctx, p.settings.Timeout)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, p.url.String(), bytes.NewReader(body))
	if err != nil {
		return &Error{Place: p.place(), What: "could not be asked: " + line(p.unlocated(err).Error(), longestLine), Refused: true, Err: p.unlocated(err)}
	}
	maps.Copy(request.Header, header)
	request.Header.Set("Content-Type", "application/json; charset=utf-8")
	request.Header.Set("User-Agent", "plumbrule")
	switch {
	case p.settings.Bearer != "":
		request.Header.Set("Authorization", "Bearer "+string(p.settings.Bearer))
	case p.settings.User != "":
		request.SetBasicAuth(p.settings.User, string(p.settings.Password))
	}
	response, err := p.client.Do(request)
	if err != nil {
		return trouble(ctx, p.place(), p.settings.Timeout, p.unlocated(err))
	}
	defer response.Body.Close() //nolint:errcheck // nothing of it is needed
	if response.StatusCode >= 200 && response.StatusCode < 300 {
		return nil
	}
	return p.refusal(response)
}

// refusal turns an answer that is no yes into words. What may be different in a while is temporary: the server's own
// troubles (5xx, RFC 9110, 15.6), 408, 425 and 429 (RFC 8470, RFC 6585).
func (p *poster) refusal(response *http.Response) error {
	code := response.StatusCode
	status := fmt.Sprintf("%d %s", code, http.StatusText(code))
	out := &Error{Place: p.place(), Refused: true, Wait: retryAfter(response.Header)}
	switch {
	case code >= 500, code == http.StatusRequestTimeout, code == http.StatusTooEarly, code == http.StatusTooManyRequests:
		out.Refused = false
		out.What, out.Mend = "does not take the message now: "+status, "it will be tried again"
	case code >= 300 && code < 400:
		out.What, out.Mend = "sends the message elsewhere, where it was not sent: "+status+p.target(response), "set url to where it is to go"
	case code == http.StatusUnauthorized, code == http.StatusForbidden, code == http.StatusProxyAuthRequired:
		out.What, out.Mend = "does not know who sends: "+status, "check user and password, the bearer token, or the secret of the signature"
	case code == http.StatusNotFound, code == http.StatusMethodNotAllowed, code == http.StatusGone:
		out.What, out.Mend = "takes no message at this url: "+status, "check the url's path"
	default:
		out.What, out.Mend = "refused the message: "+status, "its log may say why"
	}
	// A body that does not come, or not to its end, changes nothing about the status.
	text, _ := io.ReadAll(io.LimitReader(response.Body, mostQuoted))
	if len(bytes.TrimSpace(text)) > 0 {
		out.What += ", " + said(string(text))
	}
	return out
}

// target names the host that a redirect points at; its path may hold a key.
func (p *poster) target(response *http.Response) string {
	at, err := response.Location()
	if err != nil || at.Host == "" {
		return ""
	}
	return " to " + line(at.Scheme+"://"+at.Host, longestLine)
}

// longestWait bounds what a receiver may ask for: alerts are of no use next week.
const longestWait = 24 * time.Hour

// retryAfter reads the header Retry-After (RFC 9110, 10.2.3): seconds, or an instant, which is compared with the server's own clock.
func retryAfter(header http.Header) time.Duration {
	text := header.Get("Retry-After")
	wait := time.Duration(0)
	if seconds, err := strconv.ParseUint(text, 10, 31); err == nil {
		wait = time.Duration(seconds) * time.Second
	} else if until, err := http.ParseTime(text); err == nil {
		now, err := http.ParseTime(header.Get("Date"))
		if err != nil {
			return 0
		}
		wait = until.Sub(now)
	}
	return min(max(wait, 0), longestWait)
}

// unlocated takes the URL out of an error.
func (p *poster) unlocated(err error) error {
	if located, ok := errors.AsType[*url.Error](err); ok {
		return located.Err
	}
	return err
}

func (p *poster) place() string { return p.what + " " + p.url.Scheme + "://" + p.url.Host }
