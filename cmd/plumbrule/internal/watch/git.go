package watch

import (
	"os"
	"path/filepath"
)

// Busy returns why git is at work in a repository's folder and its files may be neither old nor new; empty if it is not.
// Where .git is a file, the folder it points to belongs to a work tree elsewhere and is not looked at.
func Busy(root string) string {
	for name, what := range map[string]string{
		"index.lock":       "git is writing",
		"MERGE_HEAD":       "a merge is not finished",
		"rebase-merge":     "a rebase is not finished",
		"rebase-apply":     "a rebase is not finished",
		"CHERRY_PICK_HEAD": "a cherry-pick is not finished",
	} {
		if _, err := os.Lstat(filepath.Join(root, ".git", name)); err == nil {
			return what
		}
	}
	return ""
}
