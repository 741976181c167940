package dispatch

import (
	"bytes"
	"log/slog"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/cmd/plumbrule/internal/channel"
)

// A defect in the making of one message ends neither the program nor the other messages: it is an answer like others,
// and the channel is free again.
func TestADefectIsAnAnswer(t *testing.T) {
	var log bytes.Buffer
	d := New(channel.Surroundings{Log: slog.NewTextHandler(&log, nil)})
	defer d.Close()
	l, _, _ := d.begin("log")
	defer d.sending.Done()
	for range atOnce + 1 {
		err := d.send(l, "log", func() (channel.Message, error) { panic("no such figure") })
		if err == nil || !strings.Contains(err.Error(), "no such figure") {
			t.Fatal(err)
		}
	}
	if !strings.Contains(log.String(), "defect") {
		t.Error(log.String())
	}
	d.Send([]alert.Delivery{{ID: "d", Target: alert.Target{Channel: "log"}, At: time.Unix(1, 0)}})
	if r := <-d.Results(); r.Err != nil {
		t.Error(r.Err)
	}
}
