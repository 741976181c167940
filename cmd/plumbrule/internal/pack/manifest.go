package pack

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// Facts are what a pack was made from, and how it is made again.
type Facts struct {
	Form    int      `json:"form"` // of this file: 1
	Site    string   `json:"site"`
	At      string   `json:"at"`   // RFC 3339, with the site's offset
	From    string   `json:"from"` // first day of the period
	Devices []string `json:"devices"`
	All     bool     `json:"all_devices"`

	Hindsight bool `json:"hindsight"`

	Commit    string   `json:"commit"` // whole hash; empty: the records are not committed as they are
	Command   []string `json:"command"`
	Version   string   `json:"version"` // of the program
	Cautions  []string `json:"cautions"`
	Left      []Left   `json:"left_out"`
	RecordsIn string   `json:"records_in"` // folder of the records inside the pack
}

// Left is a file that belongs to the records and was not copied.
type Left struct {
	File   string `json:"file"`
	Size   int64  `json:"size_bytes"` // 0: not known
	SHA256 string `json:"sha256"`     // as recorded
	Why    string `json:"why"`
}

// FactsName is the name of the file with the facts, and RecordsFolder that of
// the folder with the records.
const (
	FactsName     = "pack.json"
	RecordsFolder = "records"
)

// manifestLine writes a line as sha256sum(1) does: a name with a line feed or a
// backslash is escaped, which a backslash before the digest tells.
func manifestLine(name, digest string) string {
	if strings.ContainsAny(name, "\\\n\r") {
		name = strings.NewReplacer(`\`, `\\`, "\n", `\n`, "\r", `\r`).Replace(name)
		digest = `\` + digest
	}
	return digest + "  " + name + "\n"
}

// An Earlier pack is one that was handed over before.
type Earlier struct {
	Facts   Facts
	Digests map[string]string // SHA-256 by name in the pack
}

// Records returns the digests of the records in the pack, by their paths in the
// repository.
func (e *Earlier) Records() map[string]string {
	out := map[string]string{}
	for name, digest := range e.Digests {
		if file, is := strings.CutPrefix(name, RecordsFolder+"/"); is {
			out[file] = digest
		}
	}
	return out
}

// Largest is how long facts and manifest of a pack may be, in bytes: a million
// files have less.
const largest = 256 << 20

// Open reads what an earlier pack says of itself. Its files are not compared
// with their digests; that is what sha256sum is for.
func Open(folder fs.FS) (*Earlier, error) {
	text, err := read(folder, FactsName)
	if err != nil {
		return nil, err
	}
	out := &Earlier{Digests: map[string]string{}}
	if err := json.Unmarshal(text, &out.Facts); err != nil {
		return nil, fmt.Errorf("%s is not what a pack says of itself: %w", FactsName, err)
	}
	if out.Facts.Form != 1 {
		return nil, fmt.Errorf("%s is of form %d, expected 1", FactsName, out.Facts.Form)
	}
	text, err = read(folder, Manifest)
	if err != nil {
		return nil, err
	}
	lines := bufio.NewScanner(strings.NewReader(string(text)))
	for n := 1; lines.Scan(); n++ {
		name, digest, err := readLine(lines.Text())
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", Manifest, n, err)
		}
		out.Digests[name] = digest
	}
	return out, lines.Err()
}

func readLine(line string) (name, digest string, err error) {
	line, escaped := strings.CutPrefix(line, `\`)
	digest, name, found := strings.Cut(line, "  ")
	if raw, err := hex.DecodeString(digest); !found || err != nil || len(raw) != 32 {
		return "", "", fmt.Errorf("%.100q is no line of a manifest, expected a SHA-256, two blanks and a name", line)
	}
	if escaped {
		name = strings.NewReplacer(`\\`, `\`, `\n`, "\n", `\r`, "\r").Replace(name)
	}
	return name, digest, nil
}

func read(folder fs.FS, name string) ([]byte, error) {
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }()
	text, err := io.ReadAll(io.LimitReader(f, largest+1))
	if err == nil && len(text) > largest {
		err = fmt.Errorf("%s is longer than %d bytes", name, largest)
	}
	return text, err
}
