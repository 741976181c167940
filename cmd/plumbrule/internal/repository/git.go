package repository

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"

	"plumbrule/records/history"
)

// ErrNoGit means that git is not installed or that the repository is not under
// version control. Everything but the past works without it.
var ErrNoGit = history.ErrNoGit

// Pending is a file of the repository that git has not recorded as it is.
type Pending struct {
	Name  string // path inside the repository
	State string // "not added", "changed", "deleted", "added", "ignored", "in conflict"
}

// Uncommitted lists the files under the given paths that are not committed as
// they are, sorted by name.
func (r *Repository) Uncommitted(ctx context.Context, paths ...string) ([]Pending, error) {
	prefix, err := r.git(ctx, "rev-parse", "--show-prefix")
	if err != nil {
		return nil, err
	}
	within := strings.TrimSuffix(string(prefix), "\n")
	args, err := r.harmless(ctx)
	if err != nil {
		return nil, err
	}
	args = append(args, "status", "--porcelain=v1", "-z", "--untracked-files=all", "--ignored=matching", "--no-renames", "--ignore-submodules=all", "--")
	for _, p := range paths {
		if r.Exists(p) {
			args = append(args, p)
		}
	}
	out, err := r.git(ctx, args...)
	if err != nil {
		return nil, err
	}
	var list []Pending
	for entry := range bytes.SplitSeq(out, []byte{0}) {
		if len(entry) < 4 {
			continue
		}
		list = append(list, Pending{Name: strings.TrimPrefix(string(entry[3:]), within), State: stateOf(string(entry[:2]))})
	}
	slices.SortFunc(list, func(a, b Pending) int { return strings.Compare(a.Name, b.Name) })
	return list, nil
}

// Head returns the commit that is checked out, in hexadecimal. An error is [ErrNoGit], or says that there is none yet.
func (r *Repository) Head(ctx context.Context) (string, error) {
	out, err := r.git(ctx, "rev-parse", "--verify", "--end-of-options", "HEAD^{commit}")
	return strings.TrimSpace(string(out)), err
}

// UnderGit reports whether the repository lies in a git work tree.
func (r *Repository) UnderGit(ctx context.Context) bool {
	out, err := r.git(ctx, "rev-parse", "--is-inside-work-tree")
	return err == nil && strings.TrimSpace(string(out)) == "true"
}

// Bare reports whether the folder is a git repository of its own, without a work tree. Git is not asked: it would look in the
// folders above too.
func (r *Repository) Bare() bool { return r.Exists("HEAD") && r.Exists("objects") && r.Exists("refs") }

// harmless returns settings that switch off every program a repository's configuration would have git run on the files it
// compares. Whose records one looks at is not whose programs one wants to run.
func (r *Repository) harmless(ctx context.Context) ([]string, error) {
	out, err := r.git(ctx, "config", "--name-only", "-z", "--get-regexp", `^filter\.`)
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 1 {
		return nil, nil // there are none
	}
	if err != nil {
		return nil, err
	}
	var args []string
	for name := range bytes.SplitSeq(out, []byte{0}) {
		if len(name) == 0 {
			continue
		}
		value := ""
		if bytes.HasSuffix(name, []byte(".required")) {
			value = "false"
		}
		args = append(args, "-c", string(name)+"="+value)
	}
	return args, nil
}

// stateOf puts the two letters of git's short status into words.
func stateOf(letters string) string {
	switch {
	case letters == "??":
		return "not added"
	case letters == "!!":
		return "ignored"
	case strings.Contains(letters, "U") || letters == "AA" || letters == "DD":
		return "in conflict"
	case strings.Contains(letters, "D"):
		return "deleted"
	case strings.HasPrefix(letters, "A"):
		return "added"
	}
	return "changed"
}

// git runs a git command in the repository with an environment that cannot
// change its answer, and returns what it printed.
func (r *Repository) git(ctx context.Context, args ...string) ([]byte, error) {
	fixed := []string{"--no-optional-locks", "-c", "core.quotepath=off", "-c", "core.hooksPath=/dev/null"}
	return r.run(ctx, append(environment(os.Environ()), "GIT_OPTIONAL_LOCKS=0"), append(fixed, args...)...)
}

// run runs a git command in the repository and returns what it printed.
func (r *Repository) run(ctx context.Context, env []string, args ...string) ([]byte, error) {
	program, err := exec.LookPath("git")
	if err != nil {
		return nil, ErrNoGit
	}
	fixed := []string{
		"-C", r.Root, "--literal-pathspecs", "-c", "core.fsmonitor=false", "-c", "safe.bareRepository=explicit", "-c", "submodule.recurse=false",
	}
	command := exec.CommandContext(ctx, program, append(fixed, args...)...)
	command.Env = env
	var out, complaint bytes.Buffer
	command.Stdout, command.Stderr = &out, &complaint
	if err := command.Run(); err != nil {
		said := strings.TrimSpace(complaint.String())
		if strings.Contains(said, "not a git repository") {
			return nil, ErrNoGit
		}
		if said == "" {
			return nil, fmt.Errorf("git %s: %w", verbOf(args), err)
		}
		return nil, fmt.Errorf("git: %s", said)
	}
	return out.Bytes(), nil
}

// verbOf returns the first argument that is no setting.
func verbOf(args []string) string {
	for i := 0; i < len(args); i++ {
		switch {
		case args[i] == "-c":
			i++
		case !strings.HasPrefix(args[i], "-"):
			return args[i]
		}
	}
	return ""
}

// environment leaves out whatever would point git to another repository or change how it compares, but for the settings
// that say where its own files are and how far up it may look.
func environment(all []string) []string {
	out := slices.DeleteFunc(slices.Clone(all), func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		if name == "GIT_CEILING_DIRECTORIES" || name == "GIT_CONFIG_NOSYSTEM" || name == "GIT_CONFIG_GLOBAL" || name == "GIT_EXEC_PATH" {
			return false
		}
		return strings.HasPrefix(name, "GIT_") || name == "LC_ALL"
	})
	return append(out, "LC_ALL=C", "GIT_TERMINAL_PROMPT=0")
}
