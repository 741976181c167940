// Package message writes what people read when they are told of alerts: a
// subject, a plain text, and the same as HTML for mail.
//
// The worst stands first. Of each alert it says what stands, what would mend it,
// where it is written, and what is other than the reader was told last. All texts
// that come from records are foreign: control characters and signs that turn the
// reading direction are spelled out, long words are broken, long texts are cut,
// markup is text.
package message
