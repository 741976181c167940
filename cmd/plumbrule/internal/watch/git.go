package watch

import (
	"os"
	"path/filepath"
	"strings"
)

// Busy returns why git is at work on a repository's folder and its files may be neither old nor new; empty if it is not.
func Busy(root string) string {
	dir := gitFolder(root)
	if dir == "" {
		return ""
	}
	for _, sign := range []struct{ name, what string }{
		{"index.lock", "git is writing"},
		{"MERGE_HEAD", "a merge is not finished"},
		{"rebase-merge", "a rebase is not finished"},
		{"rebase-apply", "a rebase is not finished"},
		{"CHERRY_PICK_HEAD", "a cherry-pick is not finished"},
		{"REVERT_HEAD", "a revert is not finished"},
	} {
		if _, err := os.Lstat(filepath.Join(dir, sign.name)); err == nil {
			return sign.what
		}
	}
	return ""
}

// gitFolder returns where git keeps the state of the work tree that a folder lies in; empty where there is none. The folder may
// lie below the work tree's, and in a work tree beside others .git is a file that says where.
func gitFolder(root string) string {
	for at := root; ; at = filepath.Dir(at) {
		name := filepath.Join(at, ".git")
		if info, err := os.Lstat(name); err == nil {
			if info.IsDir() {
				return name
			}
			return linkedFolder(at, name)
		}
		if at == filepath.Dir(at) {
			return ""
		}
	}
}

// linkedFolder reads the file .git of a further work tree.
func linkedFolder(at, name string) string {
	text, err := os.ReadFile(name)
	dir, found := strings.CutPrefix(strings.TrimSpace(string(text)), "gitdir: ")
	if err != nil || !found {
		return ""
	}
	if !filepath.IsAbs(dir) {
		dir = filepath.Join(at, dir)
	}
	return dir
}
