package alert

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Request asks whoever keeps the book to acknowledge an alert: while a watcher
// runs, another program must not write to its journal.
type Request struct {
	Key
	By  string    `json:"by"`
	Why string    `json:"why"`
	At  time.Time `json:"at"` // what was raised or became graver later is not meant
}

const requestPattern = "acknowledge-*.json"

// Leave puts a request into the state directory, where [Book.Requests] finds it.
func Leave(dir string, r Request) error {
	text, err := json.Marshal(r)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	j := journal{folder: directory(dir)}
	return j.replace(requestName(text), text)
}

// Left reports whether a request still waits for its answer.
func Left(dir string, r Request) (bool, error) {
	text, err := json.Marshal(r)
	if err != nil {
		return false, err
	}
	_, err = os.Stat(filepath.Join(dir, requestName(text)))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

func requestName(text []byte) string {
	sum := sha256.Sum256(text)
	return "acknowledge-" + hex.EncodeToString(sum[:8]) + ".json"
}

// Requests does what the requests in a state directory ask, and removes them. The
// answers are one for each, in the order of their names: nil, or why it was not
// done.
func (b *Book) Requests(dir string, at time.Time) []error {
	names, err := filepath.Glob(filepath.Join(dir, requestPattern))
	if err != nil {
		return []error{err}
	}
	var out []error
	for _, name := range names {
		out = append(out, b.request(name, at))
	}
	return out
}

func (b *Book) request(name string, at time.Time) error {
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var r Request
	if err == nil {
		err = json.Unmarshal(text, &r)
	}
	if err != nil {
		err = fmt.Errorf("%s is no request that can be read: %w", filepath.Base(name), err)
	} else {
		err = b.acknowledge(r.Key, r.By, r.Why, r.At, at)
	}
	if slices.ContainsFunc(b.entries, func(e *entry) bool { return e.unsaved }) {
		return err // not on the disk yet: it is asked again
	}
	return errors.Join(err, os.Remove(name))
}

// Read lists the alerts of a state directory, as [Book.Alerts] does, without
// writing to it; a watcher may be at work there. The notes say what could not be
// read.
func Read(dir string) ([]Alert, []string, error) {
	text, err := os.ReadFile(directory(dir).path(journalName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	entries, notes, _ := decodeJournal(text)
	out := make([]Alert, len(entries))
	for i, e := range entries {
		out[i] = e.Alert
	}
	sortAlerts(out)
	return out, notes, nil
}
