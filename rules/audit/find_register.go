package audit

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"plumbrule/records"
	"plumbrule/rules"
)

// register reports what is wrong with the list of equipment: serial numbers that
// come twice, and places nobody knows.
func (f *finder) register() {
	f.serials()
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		if d.Record != nil && f.looksAt(d.ID) && d.Service.State != rules.Retired && d.Service.State != rules.NotInService {
			f.location(d)
		}
	}
}

// object is a device or an artifact in the list of equipment.
type object struct{ id, maker, serial, file string }

// serials compares serial numbers but for case, blanks and hyphens, as people
// write them down. Where both makers are stated and differ, two objects may
// have one number.
func (f *finder) serials() {
	var all []object
	for _, id := range sortedKeys(f.Set.Devices) {
		if d := f.Set.Devices[id]; d != nil {
			all = append(all, object{id, d.Maker, d.Serial, d.File})
		}
	}
	for _, id := range sortedKeys(f.Set.Artifacts) {
		if a := f.Set.Artifacts[id]; a != nil {
			all = append(all, object{id, a.Maker, a.Serial, a.File})
		}
	}
	for i, a := range all {
		for _, b := range all[i+1:] {
			same := plain(a.serial) != "" && plain(a.serial) == plain(b.serial)
			if same && (a.maker == "" || b.maker == "" || plain(a.maker) == plain(b.maker)) && (f.looksAt(a.id) || f.looksAt(b.id)) {
				f.add("serial-twice", a.id, fmt.Sprintf("serial %s is that of %s too", a.serial, b.id), rules.Source{File: a.file}, rules.Source{File: b.file})
			}
		}
	}
}

func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}

// location reports a device of which the records do not say where it is, or
// said it last long ago.
func (f *finder) location(d *rules.Device) {
	source := rules.Source{File: d.Record.File}
	if d.Service.Location == "" {
		f.add("location-unknown", d.ID, "no record says where it is", source)
		return
	}
	said := d.Record.Entered
	for _, e := range slices.Backward(f.known.Events[d.ID]) {
		if e.Kind == records.Relocation {
			said, source = e.Time, rules.Source{File: e.File}
			break
		}
	}
	if day := f.day(said); day.DaysUntil(f.day(f.At)) > locationDays {
		f.add("location-unknown", d.ID, fmt.Sprintf("that it is at %s was said last on %s", d.Service.Location, day), source)
	}
}
