package page

import (
	"net"
	"sync"
)

// limited is a listener that has at most so many connections open; the others wait to be accepted.
type limited struct {
	net.Listener
	places chan struct{}
	done   chan struct{}
	close  sync.Once
}

func newLimited(l net.Listener, most int) *limited {
	return &limited{Listener: l, places: make(chan struct{}, most), done: make(chan struct{})}
}

// Accept waits for a place, then for a reader.
func (l *limited) Accept() (net.Conn, error) {
	select {
	case l.places <- struct{}{}:
	case <-l.done:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.places
		return nil, err
	}
	return &placed{Conn: c, leave: sync.OnceFunc(func() { <-l.places })}, nil
}

// Close stops listening.
func (l *limited) Close() error {
	l.close.Do(func() { close(l.done) })
	return l.Listener.Close()
}

// placed is a connection that gives its place back when it is closed.
type placed struct {
	net.Conn
	leave func()
}

func (c *placed) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
