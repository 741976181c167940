package records

import (
	"fmt"
	"path"
	"slices"
	"strings"
	"time"

	"plumbrule/records/calendar"
)

// crossCheck checks the records against each other: first devices, artifacts
// and procedures, so that what depends on a faulty one is left alone; then, in
// parallel, the others; then what concerns several at once, and last which of
// those without any error cannot be told apart.
func (l *loader) crossCheck() {
	objects := l.newChecker(l.newKnown())
	objects.definitions()
	l.list = append(l.list, objects.list...)
	k := l.newKnown()
	newChecker := func() *checker { return l.newChecker(k) }
	checkers := inParallel(len(l.files), chunk, newChecker, func(c *checker, i int) {
		if file := l.files[i]; !isObject(file) && !k.bad[file] {
			c.one(l.records[i])
		}
	})
	all := newChecker()
	corrected := all.together()
	for _, c := range append(checkers, all) {
		l.list = append(l.list, c.list...)
		k.note(c.list)
	}
	pairs := newChecker()
	pairs.numbers(corrected)
	pairs.instants(corrected)
	l.list = append(l.list, pairs.list...)
	l.strays()
}

// definitions checks the site, devices, artifacts and procedures.
func (c *checker) definitions() {
	if site := c.load.set.Site; site != nil && !c.bad[SiteFile] {
		c.checkSite(site)
	}
	for i, file := range c.load.files {
		if isObject(file) && !c.bad[file] {
			c.one(c.load.records[i])
		}
	}
}

// isObject reports whether a record file is one that others refer to by id.
func isObject(file string) bool {
	p, _ := placeOf(file)
	return p.kind == "device" || p.kind == "artifact" || p.kind == "procedure"
}

// one checks one record against the others.
func (c *checker) one(record any) {
	switch r := record.(type) {
	case *Device:
		c.checkDevice(r)
	case *Artifact:
		c.checkArtifact(r)
	case *Procedure:
		c.checkProcedure(r)
	case *Certificate:
		c.checkCertificate(r)
	case *Check:
		c.checkCheck(r)
	case *Event:
		c.checkEvent(r)
	case *Job:
		c.checkJob(r)
	case *CaseStep:
		c.checkStep(r)
	}
}

// name compares the path of a record with the path it belongs at.
func (c *checker) name(file, want string) {
	if !belongs(file, want) {
		c.seen.folder(path.Dir(want))
		c.fault("name-mismatch", file, spot{}, "by its content this record belongs at "+want, c.load.move(file, want)+", or mend the record")
	}
}

// move is the command that moves a record to where it belongs, or to the next
// free name there.
func (l *loader) move(file, want string) string {
	want = NextFree(want, func(name string) bool {
		_, taken := slices.BinarySearch(l.files, name)
		return taken
	})
	command := "git mv " + ShellQuote(file) + " " + ShellQuote(want)
	folder := path.Dir(want)
	i, _ := slices.BinarySearch(l.files, folder+"/")
	if i == len(l.files) || !strings.HasPrefix(l.files[i], folder+"/") {
		return "mkdir -p " + ShellQuote(folder) + " && " + command
	}
	return command
}

// zone returns the site's time zone, nil when it is not known.
func (c *checker) zone() *time.Location {
	if c.load.set.Site == nil {
		return nil
	}
	return c.load.set.Site.Zone
}

// id checks the id of a record that is its file name.
func (c *checker) id(file, id string) {
	if !goodID(id) {
		c.fault("bad-id", file, spot{}, fmt.Sprintf("%q cannot be an id", id), "")
	}
}

// times checks when a fact happened and when it was entered.
func (c *checker) times(file string, happened, entered time.Time) {
	if !happened.IsZero() && entered.Before(happened) {
		c.fault("entered-too-early", file, top("entered"), fmt.Sprintf("entered %s, before it happened at %s", stamp(entered), stamp(happened)), "")
	}
	limit := c.load.options.At
	if limit.IsZero() {
		return
	}
	if happened.After(limit) {
		c.fault("future-date", file, top("time"), fmt.Sprintf("%s has not come yet at %s", stamp(happened), stamp(limit)), "")
	} else if entered.After(limit) {
		c.fault("future-date", file, top("entered"), fmt.Sprintf("%s has not come yet at %s", stamp(entered), stamp(limit)), "")
	}
}

// dated checks a fact that is dated to the day.
func (c *checker) dated(file, key string, happened calendar.Date, entered time.Time) {
	zone := c.zone()
	if zone == nil || happened.IsZero() {
		return
	}
	if calendar.Of(entered, zone).Before(happened) {
		c.fault("entered-too-early", file, top("entered"), fmt.Sprintf("entered %s, before %s = %s", stamp(entered), key, happened), "")
	}
	limit := c.load.options.At
	if limit.IsZero() {
		return
	}
	if happened.After(calendar.Of(limit, zone)) {
		c.fault("future-date", file, top(key), fmt.Sprintf("%s = %s has not come yet at %s", key, happened, stamp(limit)), "")
	} else if entered.After(limit) {
		c.fault("future-date", file, top("entered"), fmt.Sprintf("%s has not come yet at %s", stamp(entered), stamp(limit)), "")
	}
}

// order reports two dates in an order that cannot be.
func (c *checker) order(file, earlier string, a calendar.Date, later string, b calendar.Date, at spot) {
	if !a.IsZero() && !b.IsZero() && b.Before(a) {
		c.fault("dates-out-of-order", file, at, fmt.Sprintf("%s = %s is before %s = %s", later, b, earlier, a), "")
	}
}

// amends checks a correction: it names a record of the same kind and object
// and gives a reason. same compares the two.
func (c *checker) amends(file, amended, reason string, entered time.Time, same func(any) bool) {
	if amended == "" {
		return
	}
	if reason == "" {
		c.fault("reason-missing", file, top("amends"), "a correction without a reason", "")
	}
	name, r := c.record(amended, file, top("amends"))
	if name == "" || r == nil {
		return
	}
	switch {
	case name == file:
		c.fault("amends-other", file, top("amends"), "the record corrects itself", "")
	case !same(r):
		c.fault("amends-other", file, top("amends"), name+" is not of the same kind and object as this record", "")
	case entered.Before(enteredAt(r)):
		c.fault("entered-too-early", file, top("entered"), fmt.Sprintf("entered %s, before the record it corrects, entered %s", stamp(entered), stamp(enteredAt(r))), "")
	}
}

// enteredAt returns when a record that can be corrected was entered.
func enteredAt(record any) time.Time {
	switch r := record.(type) {
	case *Certificate:
		return r.Entered
	case *Check:
		return r.Entered
	case *Event:
		return r.Entered
	case *Job:
		return r.Entered
	case *CaseStep:
		return r.Entered
	}
	return time.Time{}
}

func stamp(t time.Time) string { return t.Format(time.RFC3339) }
