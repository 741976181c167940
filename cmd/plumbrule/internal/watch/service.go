package watch

import (
	"net"
	"strconv"
	"time"
)

// Service tells the service manager how things stand, by the protocol of sd_notify: a datagram with a word to the socket that
// NOTIFY_SOCKET names. Without one it is silent.
type Service struct{ Socket string }

// Tell sends a word: "READY=1", "STOPPING=1", "WATCHDOG=1", "RELOADING=1", "STATUS=text". That nobody listens is no error.
func (s Service) Tell(word string) {
	if s.Socket == "" {
		return
	}
	name := s.Socket
	if name[0] == '@' { // an abstract socket
		name = "\x00" + name[1:]
	}
	c, err := net.DialUnix("unixgram", nil, &net.UnixAddr{Name: name, Net: "unixgram"})
	if err != nil {
		return
	}
	_, _ = c.Write([]byte(word))
	_ = c.Close()
}

// WatchdogEvery returns how often the watchdog is to be told that all is well: a third of the time after which it acts, which
// WATCHDOG_USEC says; 0 without a watchdog.
func WatchdogEvery(microseconds string) time.Duration {
	us, err := strconv.ParseInt(microseconds, 10, 64)
	if err != nil || us <= 0 {
		return 0
	}
	return time.Duration(us) * time.Microsecond / 3
}
