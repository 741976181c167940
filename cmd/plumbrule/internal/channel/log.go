package channel

import (
	"context"
	"fmt"
	"io"
	"log/slog"
)

// LogFormat is how a log is written.
type LogFormat string

// The forms of a log, as log/slog writes them.
const (
	LogText LogFormat = "text"
	LogJSON LogFormat = "json"
)

// Log writes messages into a log, a line for each alert. A message without alerts is one line.
type Log struct {
	name    string
	handler slog.Handler
}

// NewLog returns a channel that writes to w, one call of Write for each line. The lines' time is that of the message.
// A writer that blocks is waited for: nothing can be done about it from here.
func NewLog(name string, w io.Writer, format LogFormat) (*Log, error) {
	l := &Log{name: name}
	switch format {
	case LogText:
		l.handler = slog.NewTextHandler(w, nil)
	case LogJSON:
		l.handler = slog.NewJSONHandler(w, nil)
	default:
		return nil, &SettingError{Channel: name, Key: "format", Found: found(string(format)), Expected: `"text" or "json"`}
	}
	return l, nil
}

// NewLogInto returns a channel that writes to a log that others write to as well.
func NewLogInto(name string, handler slog.Handler) *Log { return &Log{name: name, handler: handler} }

// Name returns the channel's name.
func (l *Log) Name() string { return l.name }

// Send writes the message. Control characters and signs that cannot be seen are spelled out. If the writer fails in the
// middle, what is written stays and is written once more the next time.
func (l *Log) Send(ctx context.Context, m Message) error {
	if err := m.sendable(); err != nil {
		return err
	}
	if len(m.Alerts) == 0 {
		return l.write(ctx, m, slog.LevelInfo, m.Subject, slog.String("text", field(m.Text)))
	}
	for _, a := range m.Alerts {
		if err := l.write(ctx, m, level(m, a), fmt.Sprintf("%s: %s", a.Subject, a.Sentence), loggedAlert(a)...); err != nil {
			return err
		}
	}
	return nil
}

func (l *Log) write(ctx context.Context, m Message, level slog.Level, text string, more ...slog.Attr) error {
	if err := ctx.Err(); err != nil {
		return &Error{Place: "log", What: "was not written to its end because the time was up", Mend: "it will be tried again", Err: err}
	}
	record := slog.NewRecord(m.At.UTC(), level, field(text), 0)
	record.AddAttrs(slog.String("event", field(m.Kind)), slog.String("site", field(m.Site)), slog.String("message", field(m.ID)))
	if m.Person != "" {
		record.AddAttrs(slog.String("person", field(m.Person)))
	}
	record.AddAttrs(more...)
	if err := l.handler.Handle(ctx, record); err != nil {
		return &Error{Place: "log", What: "could not be written: " + err.Error(), Mend: "look whether its disk is full or its reader gone", Err: err}
	}
	return nil
}

func loggedAlert(a Alert) []slog.Attr {
	attrs := []slog.Attr{
		slog.String("subject", field(a.Subject)), slog.String("code", field(a.Code)), slog.String("alert", field(a.ID)), slog.String("severity", field(a.Severity)),
		slog.String("state", field(a.State)), slog.Time("raised", a.Raised),
	}
	if !a.Cleared.IsZero() {
		attrs = append(attrs, slog.Time("cleared", a.Cleared))
	}
	if a.Acknowledged != nil {
		attrs = append(attrs, slog.String("acknowledged_by", field(a.Acknowledged.By)), slog.String("acknowledged_why", field(a.Acknowledged.Why)))
	}
	if a.Mend != "" {
		attrs = append(attrs, slog.String("mend", field(a.Mend)))
	}
	if len(a.Sources) > 0 {
		attrs = append(attrs, slog.Any("sources", fields(sourcesOf(a, mostLogged))))
	}
	return attrs
}

// mostLogged is how many sources a line of a log names.
const mostLogged = 20

// level follows what somebody who reads the log has to do: nothing once it is over or known.
func level(m Message, a Alert) slog.Level {
	switch {
	case m.Kind == KindTest || a.State == StateCleared || a.State == StateAcknowledged || a.Severity == "fit":
		return slog.LevelInfo
	case a.Severity == "limited":
		return slog.LevelWarn
	}
	return slog.LevelError
}

func field(text string) string { return line(text, longestField) }

func fields(texts []string) []string {
	for i, text := range texts {
		texts[i] = field(text)
	}
	return texts
}
