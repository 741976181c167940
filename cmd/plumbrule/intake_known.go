package main

import "plumbrule/records"

// knownScans tells which check names a scan. Of a device whose checks are the same in memory as before it goes by what it found
// then: with each scan that is taken in those of one device are others.
type knownScans map[string]scansOf // by device

type scansOf struct {
	checks []*records.Check
	files  map[string]string // of the checks, by the SHA-256 of their scans
}

// find returns the check that names a file by its SHA-256.
func (k knownScans) find(set *records.Set, digest string) (string, bool) {
	for device, checks := range set.Checks {
		of, found := k[device]
		if !found || len(of.checks) != len(checks) || len(checks) > 0 && &of.checks[0] != &checks[0] {
			of = scansOf{checks, map[string]string{}}
			for _, c := range checks {
				for _, s := range c.Scans {
					of.files[s.SHA256] = c.File
				}
			}
			k[device] = of
		}
		if file, found := of.files[digest]; found {
			return file, true
		}
	}
	return "", false
}
