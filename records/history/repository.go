package history

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Oldest is the oldest version of git whose answers are understood: the first
// that can be told where its options end.
const Oldest = "2.24"

// Repository is a records repository under version control.
type Repository struct {
	git Git

	// Folder is where the records lie inside the git repository, empty or with a
	// slash at its end.
	Folder string
	// Bare is that there is no work tree.
	Bare bool
	// Shallow is that the clone does not hold the whole past: the oldest commits it
	// has look as if everything had been added in them.
	Shallow bool
	// Replaced is how many objects have a replacement in git's eyes. They are read
	// here as they were committed.
	Replaced int
}

// Open looks at the repository in whose folder git runs. It returns [ErrNoGit]
// where there is none, and what git says where git refuses, as it does in a folder
// that belongs to somebody else.
func Open(ctx context.Context, git Git) (*Repository, error) {
	r := &Repository{git: git}
	if err := r.version(ctx); err != nil {
		return nil, err
	}
	out, err := r.output(ctx, "", "rev-parse", "--is-bare-repository", "--is-shallow-repository", "--show-prefix")
	if err != nil {
		return nil, err
	}
	answers := strings.SplitN(string(out), "\n", 3)
	if len(answers) < 3 {
		return nil, fmt.Errorf("git rev-parse printed %q, expected three lines", out)
	}
	r.Bare, r.Shallow, r.Folder = answers[0] == "true", answers[1] == "true", strings.TrimSuffix(answers[2], "\n")
	replaced, err := r.output(ctx, "", "for-each-ref", "--format=%(refname)", "refs/replace/")
	r.Replaced = strings.Count(string(replaced), "\n")
	return r, err
}

// version refuses a git that is too old.
func (r *Repository) version(ctx context.Context) error {
	said, err := r.line(ctx, "version")
	if err != nil {
		return err
	}
	var major, minor int
	number := strings.TrimPrefix(said, "git version ")
	if _, err := fmt.Sscanf(number, "%d.%d", &major, &minor); err != nil {
		return fmt.Errorf("git calls itself %s, expected \"git version\" and a number", strconv.Quote(said))
	}
	if major < 2 || major == 2 && minor < 24 {
		return fmt.Errorf("git is of version %s, expected %s or later: install a newer one", number, Oldest)
	}
	return nil
}

// ErrNoCommits means that nothing was committed yet.
var ErrNoCommits = errors.New("nothing is committed yet")

// UnknownRevision means that a text names no commit of this repository.
type UnknownRevision struct {
	Text    string
	Shallow bool // the clone does not hold the whole past
	Reflog  bool // it asks where a branch of this clone stood at some time
}

func (e *UnknownRevision) Error() string {
	if e.Reflog {
		return strconv.Quote(e.Text) + " asks where a branch of this clone stood, which does not say what was committed by then"
	}
	text := strconv.Quote(e.Text) + " names no commit of this repository"
	if e.Shallow {
		text += ", which is a shallow clone and does not hold the whole past"
	}
	return text
}

// Commit finds the commit that a revision names: a hash or the beginning of one,
// a branch, a tag, HEAD~3 or what else git understands.
func (r *Repository) Commit(ctx context.Context, revision string) (*Commit, error) {
	if strings.ContainsAny(revision, "\x00\n") {
		return nil, &UnknownRevision{Text: revision, Shallow: r.Shallow}
	}
	if asksReflog(revision) {
		return nil, &UnknownRevision{Text: revision, Reflog: true}
	}
	id, err := r.line(ctx, "rev-parse", "--verify", "--quiet", "--end-of-options", revision+"^{commit}")
	if declined(err) {
		if revision == "HEAD" {
			return nil, r.headless(ctx)
		}
		return nil, &UnknownRevision{Text: revision, Shallow: r.Shallow}
	}
	if err != nil {
		return nil, err
	}
	if !isHash(id) {
		return nil, &UnknownRevision{Text: revision, Shallow: r.Shallow}
	}
	out, err := r.output(ctx, "", "log", "-z", "--no-walk", "--no-patch", "--date=raw", "--encoding=UTF-8", "--format="+commitFormat, id)
	if err != nil {
		return nil, err
	}
	fields := strings.Split(string(out), "\x00")
	if len(fields) < commitFields {
		return nil, fmt.Errorf("git log printed %q, expected a commit", out)
	}
	c, err := parseCommit(fields[:commitFields])
	return &c, err
}

// asksReflog reports whether a revision names a time, as HEAD@{2026-06-30} does. Git
// answers with where the branch of this clone stood then, and where its notes do not
// go back so far with the oldest of them, whatever was committed when.
func asksReflog(revision string) bool {
	for rest := revision; ; {
		_, after, found := strings.Cut(rest, "@{")
		if !found {
			return false
		}
		within, next, _ := strings.Cut(after, "}")
		if _, err := strconv.Atoi(within); err != nil && !slices.Contains([]string{"u", "upstream", "push"}, strings.ToLower(within)) {
			return true
		}
		rest = next
	}
}

// headless tells why HEAD names no commit: nothing was committed yet, or what was
// cannot be read. The two must not be mistaken for each other.
func (r *Repository) headless(ctx context.Context) error {
	_, err := r.output(ctx, "", "log", "-1", "--no-patch", "--format=%H")
	if refusal, refused := errors.AsType[*Refusal](err); refused && strings.Contains(refusal.Said, "does not have any commits yet") {
		return ErrNoCommits
	}
	if err == nil {
		err = errors.New("it names no commit")
	}
	return fmt.Errorf("HEAD cannot be followed to a commit: %w", err)
}

// isHash reports whether a text is the whole hash of an object, by SHA-1 or
// SHA-256.
func isHash(text string) bool {
	return (len(text) == 40 || len(text) == 64) && strings.Trim(text, "0123456789abcdef") == ""
}
