package repository

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// HookExists means that the user has a hook of that name, which is left as it is.
type HookExists struct{ Path string }

func (e *HookExists) Error() string {
	return "there is a hook already, " + e.Path + ", which is left as it is"
}

// HooksElsewhere means that the repository's hooks lie in a folder that the user
// has configured, and that may serve other repositories too.
type HooksElsewhere struct{ Folder string }

func (e *HooksElsewhere) Error() string {
	return "git looks for hooks in " + e.Folder + " (core.hooksPath), which may serve other repositories too"
}

// Within returns where the records lie inside the git repository: empty, or a path
// with forward slashes and without one at its end.
func (r *Repository) Within(ctx context.Context) (string, error) {
	out, err := r.git(ctx, "rev-parse", "--show-prefix")
	return strings.TrimSuffix(strings.TrimSuffix(string(out), "\n"), "/"), err
}

// InstallHook writes a hook that git runs. One that exists is never replaced: that
// gives [*HookExists].
func (r *Repository) InstallHook(ctx context.Context, name, text string) (path string, err error) {
	folder, err := r.hooks(ctx)
	if err != nil {
		return "", err
	}
	path = filepath.Join(folder, name)
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o755)
	if errors.Is(err, fs.ErrExist) {
		return "", &HookExists{Path: path}
	}
	if err != nil {
		return "", err
	}
	if _, err := f.WriteString(text); err != nil {
		return "", errors.Join(fmt.Errorf("%s: %w", path, err), f.Close(), os.Remove(path))
	}
	return path, errors.Join(f.Sync(), f.Close())
}

// hooks returns the folder of the repository's own hooks.
func (r *Repository) hooks(ctx context.Context) (string, error) {
	common, err := r.git(ctx, "rev-parse", "--git-common-dir")
	if err != nil {
		return "", err
	}
	folder := strings.TrimSuffix(string(common), "\n")
	if !filepath.IsAbs(folder) {
		folder = filepath.Join(r.Root, folder)
	}
	// What is set on the command line, as here, comes last of all that are listed.
	all, err := r.git(ctx, "config", "-z", "--get-all", "core.hooksPath")
	if err != nil {
		return "", err
	}
	list := strings.Split(strings.TrimSuffix(string(all), "\x00"), "\x00")
	if len(list) > 1 {
		return "", &HooksElsewhere{Folder: list[len(list)-2]}
	}
	return filepath.Join(folder, "hooks"), nil
}
