// Package dispatch carries what a book of alerts has to tell through the channels
// that a site's settings name.
//
// Nothing here waits for a receiver: each delivery has a goroutine of its own, and
// of one channel a few at a time are on their way, so that a slow receiver holds up
// nobody but its own channel. What came of a delivery is told by a queue that the
// owner of the book reads; the book itself is never touched from here.
package dispatch
