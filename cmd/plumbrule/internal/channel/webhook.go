package channel

import (
	"context"
	"net/http"
	"strconv"
)

// WebhookSettings say where messages are posted and how they are signed.
type WebhookSettings struct {
	HTTPSettings
	// Secret signs what is sent, see [Sign]. It is shared with the receiver and has at least 16 bytes; empty: nothing is signed.
	Secret Secret
}

// shortestSecret keeps a secret from being tried out: 128 bits, if it is random.
const shortestSecret = 16

// Webhook posts messages as JSON, see [Message.JSON], with the header Idempotency-Key and, where there is a secret,
// [HeaderTimestamp] and [HeaderSignature]. The first is the message's ID (a hash of it, if it has other signs than letters, digits, - and _), the
// same each time the message is sent again.
//
// Any status of 2xx means that the message was taken. A status of 4xx refuses it for good, except 408, 425 and 429; those, 5xx
// and silence are temporary. Redirects are followed to the same server only, and only those that leave a POST a POST (307, 308).
type Webhook struct {
	name   string
	secret Secret
	clock  Clock
	poster *poster
}

// NewWebhook checks the settings and reads the file of authorities. It talks to nobody. The error is a [*SettingError].
func NewWebhook(name string, settings WebhookSettings, clock Clock) (*Webhook, error) {
	if n := len(settings.Secret); n > 0 && n < shortestSecret {
		return nil, &SettingError{
			Channel: name, Key: "secret", Found: "of " + strconv.Itoa(n) + " bytes", Expected: "at least " + strconv.Itoa(shortestSecret),
			Mend: "let a machine make one: openssl rand -hex 32",
		}
	}
	poster, err := newPoster(name, "webhook", settings.HTTPSettings)
	if err != nil {
		return nil, err
	}
	return &Webhook{name: name, secret: settings.Secret, clock: clock, poster: poster}, nil
}

// Name returns the channel's name.
func (w *Webhook) Name() string { return w.name }

// Send posts the message once.
func (w *Webhook) Send(ctx context.Context, m Message) error {
	if err := m.sendable(); err != nil {
		return err
	}
	body := m.JSON()
	header := http.Header{}
	if w.secret != "" {
		Sign(header, w.secret, body, w.clock.Now())
	}
	header.Set("Idempotency-Key", m.token())
	return w.poster.post(ctx, body, header)
}
