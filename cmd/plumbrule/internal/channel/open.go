package channel

import (
	"errors"
	"fmt"
	"io"
	"log/slog"
	"strconv"

	"plumbrule/cmd/plumbrule/internal/secret"
	"plumbrule/records"
)

// Surroundings are what channels take from the program around them.
type Surroundings struct {
	Clock  Clock
	Lookup func(name string) (value string, ok bool) // looks up an environment variable, as os.LookupEnv does
	Log    slog.Handler                              // of the program's other lines
	Lines  io.Writer                                 // where lines go of a log with a format of its own
}

// Open makes the channel that a site's settings describe. It reads secrets and
// certificates and talks to nobody. The error is a [*SettingError], and may be gone
// the next time: a secret can be put in its place while the program runs.
func Open(c *records.Channel, around Surroundings) (Channel, error) {
	switch c.Kind {
	case records.LogChannel:
		if c.Format == "" {
			return NewLogInto(c.Name, around.Log), nil
		}
		return opened(NewLog(c.Name, around.Lines, LogFormat(c.Format)))
	case records.MailChannel:
		password, err := around.password(c)
		if err != nil {
			return nil, err
		}
		return opened(NewMail(c.Name, MailSettings{
			Server: c.Server, Port: c.MailPort(), Security: Security(c.MailSecurity()), Unencrypted: c.Unencrypted, CAFile: c.CAFile, Hello: c.Hello,
			User: c.User, Password: password, From: c.From, To: c.To, Timeout: c.TimeoutTime(),
		}))
	case records.WebhookChannel:
		secret, err := around.secretOf(c.Name, "secret", c.SecretEnv, c.SecretFile)
		if err != nil {
			return nil, err
		}
		settings, err := around.http(c)
		if err != nil {
			return nil, err
		}
		return opened(NewWebhook(c.Name, WebhookSettings{HTTPSettings: settings, Secret: secret}, around.Clock))
	case records.CommandChannel:
		return opened(NewCommand(c.Name, CommandSettings{Command: c.Command, Timeout: c.TimeoutTime()}))
	case records.AlertmanagerChannel:
		settings, err := around.http(c)
		if err != nil {
			return nil, err
		}
		return opened(NewAlertmanager(c.Name, AlertmanagerSettings{HTTPSettings: settings}))
	}
	return nil, &SettingError{Channel: c.Name, Key: "kind", Found: found(c.Kind), Expected: fmt.Sprintf("one of %q", records.ChannelKinds())}
}

// opened keeps a channel that could not be made from passing for one.
func opened[C Channel](c C, err error) (Channel, error) {
	if err != nil {
		return nil, err
	}
	return c, nil
}

func (around Surroundings) http(c *records.Channel) (HTTPSettings, error) {
	password, err := around.password(c)
	return HTTPSettings{
		URL: c.URL, Unencrypted: c.Unencrypted, CAFile: c.CAFile, User: c.User, Password: password, Timeout: c.TimeoutTime(),
	}, err
}

func (around Surroundings) password(c *records.Channel) (Secret, error) {
	return around.secretOf(c.Name, "password", c.PasswordEnv, c.PasswordFile)
}

// secretOf takes a secret from the environment or from a file; it is empty where the
// settings name neither.
func (around Surroundings) secretOf(channel, key, variable, file string) (Secret, error) {
	switch {
	case variable != "":
		value, ok := around.Lookup(variable)
		if !ok || value == "" {
			return "", &SettingError{
				Channel: channel, Key: key + "-env", Found: strconv.Quote(variable) + ", a variable without content", Expected: "the name of a variable that holds it",
				Mend: "set it where the watcher is started",
			}
		}
		return Secret(value), nil
	case file != "":
		value, err := secret.Read(file)
		if fault, ok := errors.AsType[*secret.Unreadable](err); ok {
			return "", &SettingError{Channel: channel, Key: key + "-file", Found: found(file) + ", which " + fault.What, Expected: "a file that holds it and that others cannot read", Mend: fault.Mend}
		}
		return Secret(value), err
	}
	return "", nil
}
