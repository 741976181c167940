package works

import (
	"fmt"
	"io/fs"

	"plumbrule/records"
)

// Checks makes the checks of the example repository by their paths. The site
// is the repository itself: devices, artifacts and certificates are read from
// it, checks that it may hold already are not looked at. Reading faults that
// concern other records are not errors here.
func Checks(site fs.FS) (map[string][]byte, error) {
	set, _ := records.Load(site, records.Options{})
	if set.Site == nil || set.Site.Zone == nil {
		return nil, fmt.Errorf("the site's settings cannot be read; mend %s", records.SiteFile)
	}
	s := shop{set}
	var list []*records.Check
	byDevice := map[string]plan{}
	for _, p := range plans() {
		if _, found := byDevice[p.device]; !found {
			byDevice[p.device] = p
		}
		made, err := s.planned(&p)
		if err != nil {
			return nil, fmt.Errorf("device %s: %w", p.device, err)
		}
		list = append(list, made...)
	}
	for _, x := range extras() {
		k, err := x.check(s, byDevice[x.device])
		if err != nil {
			return nil, fmt.Errorf("device %s: %w", x.device, err)
		}
		list = append(list, k)
	}
	return s.encode(list)
}

// planned makes the checks of one plan.
func (s shop) planned(p *plan) ([]*records.Check, error) {
	var list []*records.Check
	random := p.streams()
	for _, day := range p.days() {
		k, err := s.check(p, day, random)
		if err != nil {
			return nil, err
		}
		switch {
		case p.device == "mic-02" && day == on(2026, 3, 10): // it was not to be found
			continue
		case p.device == "mic-01" && day == p.last:
			slip, correction := typed(k, s.set.Site.Zone)
			list = append(list, slip, correction)
			continue
		case p.device == "scan-01" && day == on(2026, 8, 24):
			late(k)
		}
		list = append(list, k)
	}
	return list, nil
}

// encode writes the checks, each to the path where it belongs.
func (s shop) encode(list []*records.Check) (map[string][]byte, error) {
	files := make(map[string][]byte, len(list))
	for _, k := range list {
		name := records.NextFree(records.CheckPath(k, s.set.Site.Zone), func(name string) bool { return files[name] != nil })
		data, err := records.Encode(k)
		if err != nil {
			return nil, err
		}
		files[name] = data
	}
	return files, nil
}
