// Package channel carries one message to the people or programs that asked for it: into a log, by mail, to a webhook, to a
// command, to the alert API of the Prometheus family.
//
// Who is told what and when is decided elsewhere; a channel is given a [Message] and either hands it over or says why not.
// It keeps no queue and starts nothing that outlives Send. What it reads from the other side is bounded, and so is what it
// sends and the time it takes.
//
// An error is an [*Error]. One that is Temporary leaves it open whether the message arrived, and the same message, with
// the same ID, is to be sent again. Otherwise the other side, or the message itself, has said no for good: to send it again would be
// no use, and somebody has to be told by another way. A server that cannot be reached, trusted or talked to (a certificate that nobody vouches for,
// encryption that is no longer offered) has not said no: whoever sits on the line could feign that, and must not
// be able to make an alert disappear.
package channel
