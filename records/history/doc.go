// Package history is the past of a records repository as git keeps it: the
// records as of any revision, as an [io/fs.FS] that records.Load reads without
// touching the work tree, and for every file who added it, when, in which commit,
// and whether it was changed, renamed or removed afterwards.
//
// Records are added and never rewritten: a correction is a new record that names
// the one it amends. Git does not enforce that, and so this package looks for
// what was rewritten all the same, also in merges: each is compared with every
// one of its parents. A merge that takes over what the other side did is clean; one
// that changes a record by itself, or throws away what one side did, is not.
//
// The package runs nothing. Git is a parameter; see [Git]. What git cannot know is
// said: a shallow clone does not know who added its oldest files, an object that is
// lost or damaged is named with the path that needs it, and a clock that went wrong
// shows where a commit is earlier than its parent. Replacement objects and grafts
// are never followed, since they show a past that was not.
package history
