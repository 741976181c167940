// Package source reads TOML 1.0 text and keeps, for every key and value, the
// place where it is written.
//
// Bytes go in; a tree of nodes comes out, each with the byte offsets of its
// key and of its value, and with the value's text as written, so that a
// message can quote the user's own line and a number keeps its written
// resolution (29.9990). Values are decoded on demand. The reader knows nothing
// of records: which keys may stand where is the caller's affair.
//
// Keys are compared exactly: DEVICE is not device. A local date stays year,
// month and day; nothing here ever uses the time zone of the machine.
//
// Source: TOML v1.0.0 (2021-01-12). Where this reader refuses a text, the
// library github.com/BurntSushi/toml is asked as well; [CrossCheck] compares
// an accepted text with that library's reading of it.
package source
