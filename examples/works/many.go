package works

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"strings"

	"plumbrule/records"
)

// pattern is the site that Many multiplies: one bar, one procedure, one device.
//
//go:embed many
var pattern embed.FS

const (
	patternDevice = "scan-00000"
	patternNumber = "00000" // stands wherever a device's own number belongs
	mostDevices   = 99999
)

// checksEach is how many checks a device of Many has, one a day.
const checksEach = 500

// variants is how many different sets of readings there are for one day;
// devices take turns with them.
const variants = 8

// Many makes the files of a site with n check records, by their paths: as many
// scanners as that needs with 500 daily checks each, the last one with what is
// left over, all of them fit on the morning of 2 November 2026. It is made for
// benchmarks: readings repeat between devices, files do not. An error says
// that n is below 0 or more than the device numbers can count.
func Many(n int) (map[string][]byte, error) {
	devices := (n + checksEach - 1) / checksEach
	if n < 0 || devices > mostDevices {
		return nil, fmt.Errorf("%d checks; expected 0 to %d", n, mostDevices*checksEach)
	}
	site, err := fs.Sub(pattern, "many")
	if err != nil {
		return nil, err
	}
	files := make(map[string][]byte, n+2*devices+4)
	if err := multiply(files, site, devices); err != nil {
		return nil, err
	}
	days, err := patternChecks(site, min(n, checksEach), min(devices, variants))
	if err != nil {
		return nil, err
	}
	for i := range n {
		device := i / checksEach
		k := days[i%checksEach][device%variants]
		files[numbered(k.name, device+1)] = []byte(numbered(k.text, device+1))
	}
	return files, nil
}

// numbered writes a device's own number wherever the pattern has its own.
func numbered(text string, number int) string {
	return strings.ReplaceAll(text, patternNumber, fmt.Sprintf("%05d", number))
}

// multiply copies the files of the pattern, those of its device once for each
// device.
func multiply(files map[string][]byte, site fs.FS, devices int) error {
	return fs.WalkDir(site, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(site, name)
		if err != nil {
			return err
		}
		if !strings.Contains(name, patternNumber) {
			files[name] = bytes.Clone(data)
			return nil
		}
		for i := range devices {
			files[numbered(name, i+1)] = []byte(numbered(string(data), i+1))
		}
		return nil
	})
}

// file is the name and the text of a check of the pattern's device.
type file struct{ name, text string }

// patternChecks makes the checks of the pattern's device, the last day first,
// each day in the first so many variants.
func patternChecks(site fs.FS, days, used int) ([][variants]file, error) {
	set, diagnostics := records.Load(site, records.Options{})
	if len(diagnostics) > 0 {
		return nil, fmt.Errorf("the pattern of the site: %s", diagnostics[0])
	}
	s := shop{set}
	out := make([][variants]file, days)
	for v := range used {
		p := plan{
			device: patternDevice, artifact: "bar-1", procedure: "bar-daily", by: "mk", hour: 6, minute: 30, steps: tenthMicrometre,
			seed: uint64(v), features: []behaviour{size(uint64(v), 2, steady(3, 0)), span(uint64(v), 3, 1.1, 5, steady(12, 0))},
		}
		random := p.streams()
		for i := range out {
			k, err := s.check(&p, on(2026, 11, 2).AddDays(-i), random)
			if err != nil {
				return nil, err
			}
			data, err := records.Encode(k)
			if err != nil {
				return nil, err
			}
			out[i][v] = file{records.CheckPath(k, set.Site.Zone), string(data)}
		}
	}
	return out, nil
}
