package inbox

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// longestReason bounds what is read of a reason.
const longestReason = 4 << 10

// RefusedIn lists what lies in a repository's inbox/refused with a reason beside it, by name. The reason is the second
// paragraph of its file, after the one that names the files. A repository without the folder has refused nothing.
func RefusedIn(root string) ([]Refused, error) {
	folder := filepath.Join(root, Folder, refusedFolder)
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var out []Refused
	for _, entry := range entries {
		name, reason := cutEnding(entry.Name(), reasonEnding)
		if !reason || !entry.Type().IsRegular() {
			continue
		}
		if _, gone := os.Lstat(filepath.Join(folder, name)); gone != nil {
			continue // the file was put back or deleted
		}
		out = append(out, Refused{File: name, Reason: reasonIn(filepath.Join(folder, entry.Name())), Place: path.Join(Folder, refusedFolder, name)})
	}
	return out, err
}

// reasonIn reads the second paragraph of a text.
func reasonIn(name string) string {
	f, err := os.Open(name)
	if err != nil {
		return "the reason cannot be read: " + plain(err)
	}
	defer f.Close() //nolint:errcheck // it was only read
	text, err := io.ReadAll(io.LimitReader(f, longestReason))
	if err != nil {
		return "the reason cannot be read: " + plain(err)
	}
	paragraphs := strings.SplitN(string(text), "\n\n", 3)
	if len(paragraphs) < 2 {
		return strings.TrimSpace(paragraphs[0])
	}
	return strings.Join(strings.Fields(paragraphs[1]), " ")
}
