package main

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// stateFolder returns where the watcher of a repository keeps what it has told: what the flag --state names, what the service
// manager gives, or a folder of the user's own, named after the repository and its path. It never lies in the repository: it is no record.
func (e env) stateFolder(flag, root string) string {
	if flag != "" {
		return e.path(flag)
	}
	if given, _ := e.LookupEnv("STATE_DIRECTORY"); given != "" {
		first, _, _ := strings.Cut(given, ":") // a list, if the unit names several
		return first
	}
	return filepath.Join(e.stateHome(), "plumbrule", stateName(root))
}

// stateHome is the folder of what programs remember for a user (XDG Base Directory Specification).
func (e env) stateHome() string {
	if given, _ := e.LookupEnv("XDG_STATE_HOME"); filepath.IsAbs(given) {
		return given
	}
	if runtime.GOOS == "windows" {
		if given, _ := e.LookupEnv("LOCALAPPDATA"); given != "" {
			return given
		}
	}
	if home, _ := e.LookupEnv("HOME"); home != "" {
		return filepath.Join(home, ".local", "state")
	}
	return filepath.Join(os.TempDir(), "plumbrule-state")
}

// stateName tells repositories of one name apart.
func stateName(root string) string {
	sum := sha256.Sum256([]byte(root))
	return filepath.Base(root) + "-" + hex.EncodeToString(sum[:4])
}
