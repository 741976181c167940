// Package alert decides who has to be told of what, and when.
//
// What stands against a device at a moment is a list of findings. A [Book]
// compares each list with the one before: a finding that was not there raises an
// alert, one that is gone clears it, and what a person has taken note of is
// acknowledged. Who is told follows from the settings; what a reader has been
// told is kept for each reader, and what has to be told is always the difference
// between that and what stands now. So nothing is told twice, also after a crash,
// and nothing is lost that still stands.
//
// A Book has no clock, sends nothing and waits for nothing: it is asked what is
// due at an instant, and it is told what came of it. It keeps its memory in a
// journal of JSON lines in a state directory.
//
// # How often somebody is told
//
// A standing alert is told once. It is told again when it has become graver than
// the reader was told last; figures that move in its sentence are no news. It is
// cleared when its finding has been gone for the calm time, and that is told
// once, to those who had been told of it. A finding that comes back sooner was
// never gone. Each return within a day doubles the calm time of that alert, up to
// a day: an alert that flaps falls silent and stays raised.
//
// An acknowledgement ends reminders and escalation for the severity it was given
// for; an alert that becomes graver has to be acknowledged again.
package alert
