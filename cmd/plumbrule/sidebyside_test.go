package main

import (
	"errors"
	"sync/atomic"
	"testing"
)

// Whatever the cores do first, the error is that of the lowest index, and everything below it was done.
func TestSideBySide(t *testing.T) {
	second, later := errors.New("second"), errors.New("later")
	for range 200 {
		var done [50]atomic.Int32
		err := sideBySide(len(done), func(i int) error {
			done[i].Add(1)
			switch {
			case i == 7:
				return second
			case i > 7:
				return later
			}
			return nil
		})
		if !errors.Is(err, second) {
			t.Fatalf("got %v, want that of the lowest index", err)
		}
		for i := range 8 {
			if n := done[i].Load(); n != 1 {
				t.Fatalf("index %d was done %d times, want once", i, n)
			}
		}
	}
	if err := sideBySide(0, func(int) error { return later }); err != nil {
		t.Errorf("nothing to do, and %v", err)
	}
}
