package history

import (
	"context"
	"errors"
)

// Standing is how a commit known from before stands to the past of another.
type Standing string

// How a commit can stand.
const (
	Part    Standing = "part"    // the past holds it: nothing up to it was rewritten
	Beside  Standing = "beside"  // it exists, and the past does not hold it: that was rewritten, or is another line of work
	Gone    Standing = "gone"    // no such commit exists here: the past was rewritten, or this is another repository
	Unclear Standing = "unclear" // the clone is shallow and does not hold enough of the past to tell
)

// Stands tells whether a commit known from before, by its hash, is part of the
// past of a commit. A past that was rewritten, as by a forced push, no longer holds
// the commits that were known.
func (r *Repository) Stands(ctx context.Context, known string, tip *Commit) (Standing, error) {
	commit, err := r.Commit(ctx, known)
	var unknown *UnknownRevision
	switch {
	case errors.As(err, &unknown) && r.Shallow:
		return Unclear, nil
	case errors.As(err, &unknown):
		return Gone, nil
	case err != nil:
		return "", err
	}
	_, err = r.output(ctx, "", "merge-base", "--is-ancestor", commit.ID, tip.ID)
	switch {
	case err == nil:
		return Part, nil
	case declined(err) && r.Shallow:
		return Unclear, nil
	case declined(err):
		return Beside, nil
	}
	return "", err
}
