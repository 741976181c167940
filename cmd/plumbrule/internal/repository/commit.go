package repository

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// ErrBusy means that somebody is at work in the repository, and that nothing was
// committed: the caller tries again later.
var ErrBusy = errors.New("nothing is committed now")

// committer is the name by which commits of a program, not of a person, are
// known; who measured is their author.
const (
	committerName = "plumbrule"
	committerMail = "plumbrule@localhost"
)

// commitTime bounds how long git, with its hooks, may take.
const commitTime = 2 * time.Minute

// Commit commits the files named by their paths inside the repository, and
// nothing else, with the author "name <mail>". Files that git has as they are
// count as committed; originals that the repository's settings leave out of
// version control are left out. While a merge, rebase, cherry-pick, revert or
// bisection is under way, the index is locked, something else is staged, or no
// branch is checked out, it commits nothing, see [ErrBusy]. Hooks run; one that
// refuses is an error, and the files are then not staged. It never pushes.
func (r *Repository) Commit(ctx context.Context, files []string, author, message string) error {
	if !authorForm().MatchString(author) {
		return fmt.Errorf("%q is no author, expected a name and an address such as mk <mk@works.example>", author)
	}
	ctx, cancel := context.WithTimeout(ctx, commitTime)
	defer cancel()
	if err := r.calm(ctx); err != nil {
		return err
	}
	files, err := r.versioned(ctx, files)
	if err != nil || len(files) == 0 {
		return err
	}
	if err := r.othersStaged(ctx, files); err != nil {
		return err
	}
	if _, err := r.writing(ctx, append([]string{"add", "--"}, files...)...); err != nil {
		return locked(err)
	}
	if staged, err := r.staged(ctx, files...); err != nil || len(staged) == 0 {
		return err
	}
	_, err = r.writing(ctx, append([]string{"commit", "--quiet", "--cleanup=whitespace", "--author=" + author, "--message=" + message, "--only", "--"}, files...)...)
	if err != nil {
		return errors.Join(locked(err), r.unstage(context.WithoutCancel(ctx), files))
	}
	return nil
}

// Push pushes the branch that is checked out to the one it follows, and never by
// force.
func (r *Repository) Push(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, commitTime)
	defer cancel()
	_, err := r.writing(ctx, "-c", "push.default=upstream", "push", "--quiet", "--no-recurse-submodules")
	return err
}

// authorForm is a name and an address, which may be empty, on one line.
func authorForm() *regexp.Regexp { return regexp.MustCompile(`^[^<>\pC]+ <[^<>\pC]*>$`) }

// calm looks whether somebody is at work in the repository.
func (r *Repository) calm(ctx context.Context) error {
	for _, x := range []struct{ name, what string }{
		{"MERGE_HEAD", "a merge is not finished"},
		{"rebase-merge", "a rebase is not finished"},
		{"rebase-apply", "a rebase is not finished"},
		{"CHERRY_PICK_HEAD", "a cherry-pick is not finished"},
		{"REVERT_HEAD", "a revert is not finished"},
		{"BISECT_LOG", "a bisection is not finished"},
		{"index.lock", "the index is locked by another git, or was left locked by one that was ended"},
	} {
		out, err := r.git(ctx, "rev-parse", "--git-path", x.name)
		if err != nil {
			return err
		}
		at := strings.TrimSuffix(string(out), "\n")
		if !filepath.IsAbs(at) {
			at = filepath.Join(r.Root, at)
		}
		if _, err := os.Lstat(at); err == nil {
			return fmt.Errorf("%w: %s", ErrBusy, x.what)
		}
	}
	if _, err := r.git(ctx, "symbolic-ref", "--quiet", "HEAD"); err != nil {
		return fmt.Errorf("%w: no branch is checked out, and a commit would belong to none", ErrBusy)
	}
	return nil
}

// versioned leaves out what is ignored, but never a record.
func (r *Repository) versioned(ctx context.Context, files []string) (out []string, err error) {
	for _, name := range files {
		list, err := r.Uncommitted(ctx, name)
		if err != nil {
			return nil, err
		}
		switch {
		case !slices.ContainsFunc(list, func(p Pending) bool { return p.State == "ignored" }):
			out = append(out, name)
		case strings.HasSuffix(name, ".toml"):
			return nil, fmt.Errorf("%s is ignored by git, and would never be committed; look at .gitignore", name)
		}
	}
	return out, nil
}

// othersStaged refuses to commit while something else is prepared to be.
func (r *Repository) othersStaged(ctx context.Context, files []string) error {
	prefix, err := r.git(ctx, "rev-parse", "--show-prefix")
	if err != nil {
		return err
	}
	staged, err := r.staged(ctx)
	if err != nil {
		return err
	}
	within := strings.TrimSuffix(string(prefix), "\n")
	for _, name := range staged {
		inside, ok := strings.CutPrefix(name, within)
		if !ok || !slices.Contains(files, inside) {
			return fmt.Errorf("%w: %s is staged, and is not to be committed with this", ErrBusy, name)
		}
	}
	return nil
}

// staged lists what is staged of the files named, or at all, by paths from the
// top of the work tree.
func (r *Repository) staged(ctx context.Context, files ...string) (names []string, err error) {
	out, err := r.git(ctx, append([]string{"diff", "--cached", "--name-only", "--no-ext-diff", "--no-renames", "-z", "--"}, files...)...)
	if err != nil {
		return nil, err
	}
	for name := range strings.SplitSeq(string(out), "\x00") {
		if name != "" {
			names = append(names, name)
		}
	}
	return names, nil
}

// unstage takes back what was staged for a commit that did not come about.
func (r *Repository) unstage(ctx context.Context, files []string) error {
	verb := []string{"reset", "--quiet", "--"}
	if _, err := r.git(ctx, "rev-parse", "--verify", "--quiet", "HEAD"); err != nil {
		verb = []string{"rm", "--cached", "--quiet", "--"} // there is no commit yet
	}
	if _, err := r.writing(ctx, append(verb, files...)...); err != nil {
		return fmt.Errorf("the files are still staged: %w", err)
	}
	return nil
}

// writing runs a git command that changes the repository, as its owner's settings
// want it: with hooks and filters, such as those of large-file storage. Nobody is
// there to be asked.
func (r *Repository) writing(ctx context.Context, args ...string) ([]byte, error) {
	env := append(environment(os.Environ()),
		"GIT_COMMITTER_NAME="+committerName, "GIT_COMMITTER_EMAIL="+committerMail, "GIT_EDITOR=:", "GIT_MERGE_AUTOEDIT=no")
	for _, name := range []string{"GIT_SSH", "GIT_SSH_COMMAND", "GIT_ASKPASS"} {
		if value, ok := os.LookupEnv(name); ok {
			env = append(env, name+"="+value)
		}
	}
	return r.run(ctx, env, args...)
}

// locked tells a lock that came meanwhile from other errors.
func locked(err error) error {
	if strings.Contains(err.Error(), "index.lock") {
		return fmt.Errorf("%w: the index is locked: %w", ErrBusy, err)
	}
	return err
}
