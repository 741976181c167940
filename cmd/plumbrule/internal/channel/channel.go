package channel

import (
	"context"
	"time"
)

// Channel delivers messages. It may be used by several goroutines at once.
type Channel interface {
	// Name is what the site's settings call the channel.
	Name() string
	// Send hands the message over and returns when the other side has taken it, or an [*Error]. It ends soon after ctx
	// does, and by itself after the channel's time limit.
	Send(ctx context.Context, m Message) error
}

// Clock tells the time of day.
type Clock interface{ Now() time.Time }

const (
	// How long a delivery may take where the settings do not say: mail servers look a sender up before they answer.
	timeLimit     = 10 * time.Second
	mailTimeLimit = 30 * time.Second
	// longestLimit keeps a mistyped limit from holding up everything behind it.
	longestLimit = 10 * time.Minute
)

func limitOf(channel string, given, usual time.Duration) (time.Duration, error) {
	switch {
	case given == 0:
		return usual, nil
	case given < 0 || given > longestLimit:
		return 0, &SettingError{
			Channel: channel, Key: "timeout", Found: given.String(), Expected: "more than 0 and at most " + longestLimit.String(),
			Mend: "leave it out for " + usual.String(),
		}
	}
	return given, nil
}
