package inbox

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"strings"
)

// longestReason bounds what is read of a reason, in bytes.
const longestReason = 64 << 10

// Refused lists what lies in inbox/refused, with its reasons, until somebody puts
// it back or deletes it. A sidecar is not listed beside the file it speaks of.
func (b *Inbox) Refused() ([]Refused, error) {
	folder := path.Join(Folder, refusedFolder)
	here := filepath.Join(b.current().Root, Folder, refusedFolder)
	entries, err := b.disk.readDir(here)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	there := map[string]bool{}
	for _, e := range entries {
		there[e.Name()] = true
	}
	var out []Refused
	for _, e := range entries {
		name := e.Name()
		_, reason := cutEnding(name, reasonEnding)
		base, sidecar := cutEnding(name, sidecarEnding)
		if reason || ours(name) || sidecar && there[base] {
			continue
		}
		out = append(out, Refused{File: name, Reason: b.reasonOf(filepath.Join(here, name+reasonEnding)), Place: path.Join(folder, name)})
	}
	return out, nil
}

// reasonOf reads the reason beside a refused file: what stands between its first
// line and the next empty one.
func (b *Inbox) reasonOf(name string) string {
	const unknown = "no reason lies beside it"
	f, err := b.disk.open(name)
	if err != nil {
		return unknown
	}
	defer func() { _ = f.Close() }()
	text, err := io.ReadAll(io.LimitReader(f, longestReason))
	if err != nil {
		return unknown
	}
	parts := strings.SplitN(string(text), "\n\n", 3)
	if len(parts) < 2 {
		return unknown
	}
	return strings.Join(strings.Fields(parts[1]), " ")
}
