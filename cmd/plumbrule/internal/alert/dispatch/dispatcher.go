package dispatch

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"reflect"
	"slices"
	"sync"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/channel"
	"plumbrule/records"
)

// Result is what came of a delivery or, without one, of a sign of life.
type Result struct {
	Delivery alert.Delivery
	Beat     bool
	Err      error // as [alert.Book.Delivered] takes it
}

const (
	// queued is how many results may wait to be read. There are never more
	// deliveries on their way than there are readers.
	queued = 1024
	// lastWords is how long [Dispatcher.Close] waits for what is on its way, and
	// afterThat how long for it to end when that was too long.
	lastWords = 2 * time.Second
	afterThat = 500 * time.Millisecond
)

// Dispatcher sends deliveries. Its methods may be called by several goroutines at
// once.
type Dispatcher struct {
	around  channel.Surroundings
	results chan Result
	ctx     context.Context //nolint:containedctx // ends with Close, whoever began to send
	cancel  context.CancelFunc
	sending sync.WaitGroup

	mu      sync.Mutex
	closed  bool
	site    *records.Site
	lanes   map[string]*lane // by the channel's name
	beating bool             // a sign of life is on its way
}

// New returns a dispatcher that knows the log alone. Close ends it.
func New(around channel.Surroundings) *Dispatcher {
	d := &Dispatcher{around: around, results: make(chan Result, queued)}
	d.ctx, d.cancel = context.WithCancel(context.Background())
	d.Configure(nil)
	return d
}

// Configure takes over the channels of a site, nil for one whose settings cannot
// be read: then there is the log alone. What is on its way goes on by the old ones.
// The findings are one for each channel that cannot be opened now, about its name;
// it is tried again with each delivery, and by the next call.
func (d *Dispatcher) Configure(site *records.Site) []alert.Finding {
	if site == nil {
		site = &records.Site{}
	}
	settings := site.Channels
	if !slices.ContainsFunc(settings, func(c records.Channel) bool { return c.Name == records.LogChannel }) {
		settings = append([]records.Channel{*site.Channel(records.LogChannel)}, settings...)
	}
	d.mu.Lock()
	before := d.lanes
	d.site, d.lanes = site, make(map[string]*lane, len(settings))
	lanes := make([]*lane, len(settings))
	for i := range settings {
		of := settings[i]
		of.Line = 0 // where it is written is no matter
		l := before[of.Name]
		if l == nil || !reflect.DeepEqual(l.settings, of) {
			l = newLane(of, d.around)
		}
		lanes[i], d.lanes[of.Name] = l, l
	}
	d.mu.Unlock()
	var out []alert.Finding
	for _, l := range lanes {
		if _, err := l.channel(); err != nil {
			out = append(out, unusable(l.settings.Name, err))
		}
	}
	return out
}

func unusable(name string, err error) alert.Finding {
	return alert.Finding{
		Key: alert.Key{Subject: alert.Watcher, Code: "channel-unusable", About: name}, Severity: alert.Fault, Sentence: err.Error(),
		Mend: "nobody is told by this channel until it is mended; plumbrule watch --check tries it",
	}
}

// Send begins to send deliveries and returns at once. Each is answered by one
// result.
func (d *Dispatcher) Send(deliveries []alert.Delivery) {
	for i := range deliveries {
		delivery := deliveries[i]
		l, site, ok := d.begin(delivery.Target.Channel)
		if !ok {
			return
		}
		go func() {
			defer d.sending.Done()
			d.answer(Result{Delivery: delivery, Err: d.send(l, delivery.Target.Channel, func() (channel.Message, error) {
				return Message(&delivery, site)
			})})
		}()
	}
}

// Beat gives a sign of life through the channel that the settings name; there is
// none if they name none, or while one is still on its way. Its result has Beat set.
func (d *Dispatcher) Beat(at, until time.Time) {
	d.mu.Lock()
	name, busy := d.site.Watch.Heartbeat, d.beating
	d.beating = d.beating || name != "" && !d.closed
	d.mu.Unlock()
	if name == "" || busy {
		return
	}
	l, site, ok := d.begin(name)
	if !ok {
		return
	}
	go func() {
		defer d.sending.Done()
		err := d.send(l, name, func() (channel.Message, error) { return channel.Heartbeat(site.Name, at, until), nil })
		d.mu.Lock()
		d.beating = false
		d.mu.Unlock()
		d.answer(Result{Beat: true, Err: err})
	}()
}

// begin counts one more thing on its way, unless all is over; the lane is nil where
// there is no such channel.
func (d *Dispatcher) begin(name string) (*lane, *records.Site, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.closed {
		return nil, nil, false
	}
	d.sending.Add(1)
	return d.lanes[name], d.site, true
}

// send makes a message and sends it, and returns whatever happens.
func (d *Dispatcher) send(l *lane, name string, compose func() (channel.Message, error)) (err error) {
	defer func() {
		if p := recover(); p != nil {
			// The other channels, and the watcher, must outlive one message.
			err = fmt.Errorf("channel %s: the message could not be made: %v", name, p)
			d.logger().Error("a message could not be made; this is a defect of the program", "channel", name, "panic", fmt.Sprint(p))
		}
	}()
	if l == nil {
		return fmt.Errorf("there is no channel %q any more", name)
	}
	m, err := compose()
	if err != nil {
		return err
	}
	return l.send(d.ctx, m)
}

func (d *Dispatcher) logger() *slog.Logger {
	if d.around.Log == nil {
		return slog.New(slog.DiscardHandler)
	}
	return slog.New(d.around.Log)
}

func (d *Dispatcher) answer(r Result) {
	select {
	case d.results <- r:
	case <-d.ctx.Done():
		select {
		case d.results <- r:
		default: // nobody reads any more: it is sent again after the next start
		}
	}
}

// Results is where the results come, also those that Close has waited for. It is
// never closed.
func (d *Dispatcher) Results() <-chan Result { return d.results }

// Close waits up to two seconds for what is on its way, cuts off what is left, and
// begins nothing more. It returns within three seconds.
func (d *Dispatcher) Close() {
	d.mu.Lock()
	d.closed = true
	d.mu.Unlock()
	defer d.cancel()
	if d.wait(lastWords) {
		return
	}
	d.cancel()
	if !d.wait(afterThat) {
		d.logger().Warn("a channel does not end what it is sending; it is left behind")
	}
}

// wait tells whether nothing is on its way any more, as soon as that is so or the
// time is up.
func (d *Dispatcher) wait(limit time.Duration) bool {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	done := make(chan struct{})
	go func() {
		d.sending.Wait()
		close(done)
	}()
	select {
	case <-done:
		return true
	case <-ctx.Done():
		return false
	}
}

// errStops is why something does not go out while the program ends.
var errStops = errors.New("the watcher stops")
