package channel

import (
	"context"
	"errors"
	"net/textproto"
	"strings"

	"github.com/wneessen/go-mail/smtp"
)

// authenticate proves who sends, in the way that was asked for or the best that is offered. A password goes out in the
// clear only where the settings allowed a way that is not encrypted.
func (m *Mail) authenticate(ctx context.Context, client *smtp.Client) error {
	if m.settings.User == "" {
		return nil
	}
	_, offered := client.Extension("AUTH")
	how := m.settings.Auth
	if how == "" {
		how = m.best(offered)
	}
	user, password, host := m.settings.User, string(m.settings.Password), m.settings.Server
	var auth smtp.Auth
	switch {
	case how == "" || !offers(offered, how):
		return m.noAuth(how, offered)
	case how == AuthPlain:
		auth = smtp.PlainAuth("", user, password, host, true)
	case how == AuthLogin:
		auth = smtp.LoginAuth(user, password, host, true)
	default:
		auth = smtp.CRAMMD5Auth(user, password)
	}
	err := client.Auth(auth)
	answer, ok := errors.AsType[*textproto.Error](err)
	switch {
	case err == nil:
		return nil
	case ok && answer.Code == 535: // RFC 4954, section 6
		return &Error{
			Place: m.place(), What: "refused the user " + said(user) + " or the password: " + reply(answer),
			Mend: "check user and password", Refused: true, Err: answer,
		}
	}
	return m.answered(ctx, err, "the authentication as "+said(user)+" by "+string(how), "")
}

// best is the way of authentication to choose: where the line is encrypted the password may be shown, which every server
// can check; otherwise it is better not.
func (m *Mail) best(offered string) Auth {
	order := []Auth{AuthPlain, AuthLogin, AuthCRAM}
	if m.settings.Security == NoSecurity {
		order = []Auth{AuthCRAM, AuthPlain, AuthLogin}
	}
	for _, how := range order {
		if offers(offered, how) {
			return how
		}
	}
	return ""
}

func offers(offered string, how Auth) bool {
	for mechanism := range strings.FieldsSeq(offered) {
		if strings.EqualFold(mechanism, string(how)) {
			return true
		}
	}
	return false
}

func (m *Mail) noAuth(how Auth, offered string) error {
	what := "does not offer authentication"
	if how != "" {
		what += " by " + string(how)
	}
	if offered != "" {
		what += ", only " + line(offered, longestLine)
	}
	return &Error{Place: m.place(), What: what + ", so nothing was sent", Mend: "look whether it expects another port or encryption, or leave out user"}
}
