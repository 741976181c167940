package alert

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"maps"
	"slices"
)

// The journal is a file of JSON lines. Each holds the whole of what is known of
// one alert, and the last line about an alert holds. So a line that is lost takes
// the memory back to the one before: something may be told again, nothing that
// stands is forgotten.
const (
	journalName = "alerts.jsonl"
	damagedName = "alerts.jsonl.damaged" // the last journal that had foreign lines in it
)

// line is one line of the journal. The sum keeps a line of which some bytes were
// changed from passing for what was written.
type line struct {
	Version int             `json:"v"`
	Sum     string          `json:"sum"` // CRC-32C of alert, in hexadecimal
	Alert   json.RawMessage `json:"alert"`
}

const journalVersion = 1

func sumOf(raw []byte) string {
	return fmt.Sprintf("%08x", crc32.Checksum(raw, crc32.MakeTable(crc32.Castagnoli)))
}

// encodeLine writes the line of one alert, with its line feed.
func encodeLine(e *entry) ([]byte, error) {
	raw, err := json.Marshal(e)
	if err != nil {
		return nil, err
	}
	out, err := json.Marshal(line{journalVersion, sumOf(raw), raw})
	return append(out, '\n'), err
}

// decodeLine reads one line.
func decodeLine(text []byte) (*entry, error) {
	var l line
	if err := json.Unmarshal(text, &l); err != nil {
		return nil, errors.New("it is no JSON")
	}
	switch {
	case l.Version != journalVersion:
		return nil, fmt.Errorf("it is of version %d, this program writes %d", l.Version, journalVersion)
	case l.Sum != sumOf(l.Alert):
		return nil, errors.New("it was changed after it was written")
	}
	e := new(entry)
	if err := json.Unmarshal(l.Alert, e); err != nil || e.ID == "" || e.Subject == "" || e.Code == "" || e.Raised.IsZero() {
		return nil, errors.New("it holds no alert")
	}
	maps.DeleteFunc(e.Ledger, func(_ Target, told *Told) bool { return told == nil })
	return e, nil
}

// decodeJournal reads all lines. The last one may be torn: the program ended
// while it was written. Others that cannot be read are foreign.
func decodeJournal(text []byte) (entries []*entry, notes []string, foreign bool) {
	byID := map[string]int{}
	for number := 1; len(text) > 0; number++ {
		row, rest, whole := bytes.Cut(text, []byte("\n"))
		text = rest
		if len(bytes.TrimSpace(row)) == 0 {
			continue
		}
		e, err := decodeLine(row)
		switch {
		case err != nil && !whole:
			notes = append(notes, fmt.Sprintf("the last line of %s, line %d, was not written to its end and is left out", journalName, number))
			continue
		case err != nil:
			foreign = true
			notes = append(notes, fmt.Sprintf("line %d of %s is left out: %s", number, journalName, err))
			continue
		}
		if at, again := byID[e.ID]; again {
			entries[at] = e
			continue
		}
		byID[e.ID] = len(entries)
		entries = append(entries, e)
	}
	slices.SortStableFunc(entries, func(a, b *entry) int { return a.Raised.Compare(b.Raised) })
	if len(notes) > mostNotes {
		notes = append(notes[:mostNotes], fmt.Sprintf("%d more lines of %s are left out", len(notes)-mostNotes, journalName))
	}
	return entries, notes, foreign
}

// mostNotes is how many lines of a damaged journal are named.
const mostNotes = 10

// journal writes what the book knows.
type journal struct {
	folder folder
	file   file  // nil: to be opened
	size   int64 // of what is known to be on disk
	least  int64 // size of the journal when it was last written anew
	whole  bool  // what is on disk cannot be trusted: it has to be written anew
	begun  bool  // this program has written to it
	notes  []string
}

// readJournal reads the journal of a folder.
func readJournal(f folder) (*journal, []*entry, error) {
	j := &journal{folder: f}
	text, err := f.read(journalName)
	if errors.Is(err, fs.ErrNotExist) {
		return j, nil, nil
	}
	if err != nil {
		return nil, nil, fmt.Errorf("the journal of alerts is there and cannot be read, and without it everything would be told again: %w", err)
	}
	entries, notes, foreign := decodeJournal(text)
	j.notes, j.size, j.whole = notes, int64(len(text)), len(notes) > 0
	if foreign {
		j.keepDamaged(text)
	}
	return j, entries, nil
}

// keepDamaged puts a copy of a damaged journal aside, for people to look at.
func (j *journal) keepDamaged(text []byte) {
	if err := j.replace(damagedName, text); err != nil {
		j.notes = append(j.notes, fmt.Sprintf("a copy of the damaged journal cannot be kept: %s", err))
		return
	}
	j.notes = append(j.notes, "the damaged journal is kept as "+damagedName)
}

// compactFrom is the size from which the journal is written anew when most of it
// is out of date.
const compactFrom = 256 << 10

// write brings the entries that have changed to the disk; the first time all of
// them: what was read may have been on its way to the disk still, and that nothing
// can be written is better said at the start.
func (j *journal) write(entries []*entry) error {
	var text []byte
	for _, e := range entries {
		if e.unsaved {
			line, err := encodeLine(e)
			if err != nil {
				return err
			}
			text = append(text, line...)
		}
	}
	if j.file != nil && !j.file.there() {
		j.whole = true // somebody took it away
	}
	if len(text) == 0 && !j.whole && j.begun {
		return nil
	}
	must := j.whole || !j.begun
	if must || j.size+int64(len(text)) > max(compactFrom, 4*j.least) {
		if err := j.rewrite(entries); err == nil || must {
			return err
		}
	}
	if err := j.append(text); err != nil {
		return err
	}
	for _, e := range entries {
		e.unsaved = false
	}
	return nil
}

// append adds lines to the journal and waits until they are on the disk.
func (j *journal) append(text []byte) error {
	if j.file == nil {
		f, err := j.folder.appending(journalName)
		if err != nil {
			return err
		}
		j.file = f
	}
	n, err := j.file.Write(text)
	if err != nil {
		if n > 0 && j.file.Truncate(j.size) != nil {
			j.whole = true // a torn line may lie there
		}
		return err
	}
	if err := j.file.Sync(); err != nil {
		j.whole = true // after a sync that failed nobody knows what is on the disk
		return err
	}
	j.size, j.begun = j.size+int64(len(text)), true
	return nil
}

// rewrite puts a journal with one line for each entry in the place of the old
// one.
func (j *journal) rewrite(entries []*entry) error {
	var text []byte
	for _, e := range entries {
		line, err := encodeLine(e)
		if err != nil {
			return err
		}
		text = append(text, line...)
	}
	if err := j.replace(journalName, text); err != nil {
		return err
	}
	_ = j.close()
	j.size, j.least, j.whole, j.begun = int64(len(text)), int64(len(text)), false, true
	for _, e := range entries {
		e.unsaved = false
	}
	// It is kept open so that somebody who takes it away is noticed.
	var err error
	if j.file, err = j.folder.appending(journalName); err != nil {
		j.file, j.whole = nil, true
	}
	return nil
}

// replace writes a file beside and puts it in the place of another.
func (j *journal) replace(name string, text []byte) error {
	draft := name + ".new"
	f, err := j.folder.create(draft)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = j.folder.rename(draft, name)
	}
	if err != nil {
		_ = j.folder.remove(draft) // it takes room that may be missing
	}
	return err
}

func (j *journal) close() error {
	if j.file == nil {
		return nil
	}
	f := j.file
	j.file = nil
	return f.Close()
}
