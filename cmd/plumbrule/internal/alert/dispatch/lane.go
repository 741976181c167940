package dispatch

import (
	"context"
	"errors"
	"sync"

	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// atOnce is how many messages may be on their way through one channel.
const atOnce = 4

// lane is the way through one channel.
type lane struct {
	settings records.Channel
	around   channel.Surroundings
	free     chan struct{} // holds something for each message on its way

	mu     sync.Mutex
	opened channel.Channel // nil: not yet, or it has to be opened anew
}

func newLane(settings records.Channel, around channel.Surroundings) *lane {
	return &lane{settings: settings, around: around, free: make(chan struct{}, atOnce)}
}

// channel opens the channel if it is not. That it cannot be is no refusal: the
// secret it lacks may come.
func (l *lane) channel() (channel.Channel, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.opened == nil {
		c, err := channel.Open(&l.settings, l.around)
		if err != nil {
			return nil, err
		}
		l.opened = c
	}
	return l.opened, nil
}

// send waits for its turn and sends one message.
func (l *lane) send(ctx context.Context, m channel.Message) error {
	select {
	case l.free <- struct{}{}:
		defer func() { <-l.free }()
	case <-ctx.Done():
		return errStops
	}
	if ctx.Err() != nil {
		return errStops
	}
	c, err := l.channel()
	if err != nil {
		return err
	}
	err = c.Send(ctx, m)
	if e, ok := errors.AsType[*channel.Error](err); ok && e.Refused && !e.Partly {
		l.reopen(c) // a password may have been changed since it was read
	}
	return err
}

// reopen lets the channel be opened anew, unless it has been already.
func (l *lane) reopen(refused channel.Channel) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.opened == refused {
		l.opened = nil
	}
}
