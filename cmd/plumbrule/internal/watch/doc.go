// Package watch keeps an eye on a records repository: it notices changed files, waits until they are complete, and tells
// when the answers have to be formed anew, because of a change or because time has passed.
//
// Events of the file system are hints. They come late, twice or not at all: on network shares, when a queue overflows, when
// the system has no watches left. So all is looked through anew from time to time whatever the events say, and more often
// where there are none.
package watch
