package history

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Commit is one commit.
type Commit struct {
	ID      string   // its whole hash
	Parents []string // hashes; more than one: a merge; none: a first commit, or a shallow clone ends here

	Author      string // who wrote it, by the name configured there; git does not check it
	AuthorEmail string
	AuthorTime  time.Time // when, by that person's clock; zero where git cannot read it
	Committer   string    // who committed it: another person where it was carried over
	CommitTime  time.Time // when, by that person's clock; zero where git cannot read it
	Subject     string    // first line of the message

	// CutOff is that a shallow clone ends here: the commit has parents that the clone
	// does not hold, and whatever it holds looks as if it had been added in it.
	CutOff bool
}

// Merge reports whether the commit brings several lines of work together.
func (c *Commit) Merge() bool { return len(c.Parents) > 1 }

// Short is the beginning of the hash, for people. It is not checked to be unique.
func (c *Commit) Short() string { return Short(c.ID) }

// Short returns the beginning of a hash, for people.
func Short(id string) string { return id[:min(len(id), 10)] }

// commitFormat makes git log print a commit as commitFields fields with a zero
// byte after each.
const (
	commitFormat = "%x01%H%x00%P%x00%an%x00%ae%x00%ad%x00%cn%x00%cd%x00%s%x00"
	commitFields = 8
)

// commitMark starts the first field of a commit.
const commitMark = '\x01'

func parseCommit(fields []string) (Commit, error) {
	if len(fields) != commitFields || len(fields[0]) < 2 || fields[0][0] != commitMark || !isHash(fields[0][1:]) {
		return Commit{}, fmt.Errorf("git printed %q, expected a commit", fields)
	}
	return Commit{
		ID: fields[0][1:], Parents: strings.Fields(fields[1]),
		Author: fields[2], AuthorEmail: fields[3], AuthorTime: rawTime(fields[4]),
		Committer: fields[5], CommitTime: rawTime(fields[6]), Subject: fields[7],
	}, nil
}

// rawTime reads git's raw form of a date: seconds since 1970 and the offset from
// UTC as hours and minutes. What cannot be read gives the zero time.
func rawTime(text string) time.Time {
	seconds, offset, _ := strings.Cut(text, " ")
	s, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return time.Time{}
	}
	zone := time.UTC
	if o, err := strconv.Atoi(offset); err == nil && o != 0 {
		zone = time.FixedZone("", (o/100*60+o%100)*60)
	}
	return time.Unix(s, 0).In(zone)
}
