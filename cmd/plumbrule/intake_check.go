package main

import (
	"context"
	"fmt"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/inbox"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records"
	"plumbrule/records/quantity"
)

// dropped makes the check of a drop: from scans, from an export, or from the readings of a sidecar.
func (r *recording) dropped(ctx context.Context, d *inbox.Drop) (*records.Check, error) {
	said := &d.Said
	procedure, err := r.subjects(said)
	if err != nil {
		return nil, err
	}
	c := &records.Check{
		Device: said.Device, Artifact: said.Artifact, Procedure: said.Procedure, Revision: firstOf(said.Revision, procedure.Revision),
		By: said.By, Entered: r.now, Unit: r.set.Site.Unit, Compensated: said.Compensated, Purpose: said.Purpose, Note: said.Note, Conditions: said.Conditions,
	}
	if err := r.measuredAt(c, d); err != nil {
		return nil, err
	}
	name := path.Join(inbox.Folder, d.Files[0].Name)
	_, sidecar := strings.CutSuffix(strings.ToLower(d.Files[0].Name), ".toml")
	switch {
	case sidecar:
		c.Unit = firstOf(said.Unit, c.Unit)
		c.Readings = said.Readings
		err = r.file(c, &d.Files[0], d.Files[0].Name+".txt") // no record, and not to be taken for one
	case len(said.Readings) > 0:
		return nil, &inbox.Refusal{What: fmt.Sprintf("the sidecar has readings, and %s is there as well, and only one of them can be the check", d.Files[0].Name), Mend: "leave the readings out, or drop the sidecar alone under a name of its own"}
	case r.env.isExport(name):
		if len(d.Files) > 1 {
			return nil, &inbox.Refusal{What: "several files are listed as repeats, and " + d.Files[0].Name + " is an export of readings, not a scan", Mend: "put all readings into one export"}
		}
		if err := r.export(c, name, said.Unit); err != nil {
			return nil, err
		}
		err = r.file(c, &d.Files[0], d.Files[0].Name)
	default:
		err = r.fitted(ctx, c, procedure, d)
	}
	if err != nil {
		return nil, err
	}
	return c, walked(c, said)
}

// subjects checks that what a drop names is there, and returns its procedure.
func (r *recording) subjects(said *records.Sidecar) (*records.Procedure, error) {
	var missing []string
	for _, x := range []struct{ key, value string }{{"device", said.Device}, {"artifact", said.Artifact}, {"procedure", said.Procedure}, {"by", said.By}} {
		if x.value == "" {
			missing = append(missing, x.key)
		}
	}
	if len(missing) > 0 {
		return nil, &inbox.Refusal{What: "nothing says its " + strings.Join(missing, " and "), Mend: "add it to the sidecar, or to a [[drop]] in " + records.SiteFile + " that fits the file's name"}
	}
	for _, x := range []struct {
		what, id string
		known    []string
	}{
		{"device", said.Device, sortedIDs(r.set.Devices)}, {"artifact", said.Artifact, sortedIDs(r.set.Artifacts)}, {"procedure", said.Procedure, sortedIDs(r.set.Procedures)},
	} {
		record := x.what + "s/" + x.id + ".toml"
		switch {
		case slices.Contains(x.known, x.id):
		case r.repo.Exists(record):
			return nil, fmt.Errorf("%s cannot be used as it is; see what plumbrule validate says of it", record)
		default:
			return nil, &inbox.Refusal{What: fmt.Sprintf("there is no %s %q", x.what, x.id), Mend: nearOf(x.id, x.known)}
		}
	}
	return r.set.Procedures[said.Procedure], nil
}

// fitted fits the readings from the scans.
func (r *recording) fitted(ctx context.Context, c *records.Check, p *records.Procedure, d *inbox.Drop) error {
	var names []string
	for i := range d.Files {
		names = append(names, path.Join(inbox.Folder, d.Files[i].Name))
	}
	unit := d.Said.Unit
	if unit == "" && millimetresIn(c.Unit) != 1 {
		unit = r.unitBeside(names, c.Unit)
	}
	f := &checkFlags{
		scans: &names, scanUnit: &parsed[string]{value: unit, text: unit}, spray: &parsed[quantity.Length]{value: c.Conditions.DullingSpray}, picture: &parsed[string]{},
	}
	return r.scanned(ctx, c, p, f)
}

// unitBeside returns the site's unit for scans that have none of their own.
func (r *recording) unitBeside(names []string, site string) string {
	for _, name := range names {
		s, err := r.env.openScan(name, "")
		if err != nil {
			return "" // what is wrong is told when it is fitted
		}
		own := s.unit
		s.close()
		if own != "" {
			return ""
		}
	}
	return site
}

// file decides where an original that is no scan will lie, and names it in the check.
func (r *recording) file(c *records.Check, f *inbox.File, name string) error {
	site := &r.set.Site.Scans
	below := path.Join(c.Device, c.Time.In(r.set.Site.Zone).Format("2006"))
	in, folder := r.repo, path.Join(firstOf(site.Folder, scansFolder), below)
	if site.Archive != "" {
		in, folder = &repository.Repository{Root: site.Archive}, below
	}
	place, err := r.placed(filepath.Join(filepath.Dir(f.Path), name), in, folder, f.SHA256)
	c.Scans = []records.ScanFile{{File: place, SHA256: f.SHA256, Size: f.Size}}
	return err
}

// walked puts the paths that are said beside the readings into them.
func walked(c *records.Check, said *records.Sidecar) error {
	for _, p := range said.Paths {
		found := false
		for i := range c.Readings {
			if x := &c.Readings[i]; x.Feature == p.Feature {
				found = true
				if x.Path.IsZero() {
					x.Path = p.Path
				}
			}
		}
		if !found {
			return &inbox.Refusal{What: fmt.Sprintf("a path is said of %s, of which there is no reading", p.Feature), Mend: "look at the feature's name in paths"}
		}
	}
	return nil
}

// ahead is how far the clock of what wrote a file may be ahead of ours.
const ahead = 5 * time.Minute

// measuredAt finds out when a drop was measured: what is said of it, what its name says, or when it was last written. What
// nobody said is told in the check's note.
func (r *recording) measuredAt(c *records.Check, d *inbox.Drop) error {
	first := &d.Files[0]
	var from string
	if !d.Said.Time.IsZero() {
		c.Time = d.Said.Time.In(r.set.Site.Zone)
		return nil
	}
	named, found, err := r.timeIn(first.Name)
	switch {
	case err != nil:
		return err
	case found:
		c.Time, from = named, "its time is that in the name of "+first.Name
	default:
		c.Time, from = first.Modified.In(r.set.Site.Zone).Truncate(time.Second), "its time is when "+first.Name+" was last written"
		if c.Time.After(r.now) && c.Time.Sub(r.now) <= ahead {
			c.Time = r.now
		}
	}
	if c.Time.After(r.now) {
		return &inbox.Refusal{
			What: fmt.Sprintf("%s, %s, and that has not come yet", from, c.Time.Format(time.RFC3339)),
			Mend: "look at the clock of what wrote it, or write time into the sidecar",
		}
	}
	if c.Note != "" {
		c.Note += "; "
	}
	c.Note += from
	return nil
}

// timeIn reads date and time of day from a file's name: 2026-10-05T0812, 2026-10-05_08-12-30 or 20261005-081230, site time.
func (r *recording) timeIn(name string) (t time.Time, found bool, err error) {
	pattern := regexp.MustCompile(`(?:^|[^0-9])([0-9]{4})-?([0-9]{2})-?([0-9]{2})[T_ -]([0-9]{2})[h.:-]?([0-9]{2})(?:[m.:-]?([0-9]{2}))?(?:[^0-9]|$)`)
	m := pattern.FindStringSubmatch(name)
	if m == nil {
		return t, false, nil
	}
	const layout = "2006-01-02T15:04:05"
	text := fmt.Sprintf("%s-%s-%sT%s:%s:%s", m[1], m[2], m[3], m[4], m[5], firstOf(m[6], "00"))
	t, err = time.ParseInLocation(layout, text, r.set.Site.Zone)
	if err != nil {
		return t, false, nil //nolint:nilerr // figures that are no time say something else
	}
	t, err = r.env.unambiguous("time", text, layout, t, r.set.Site.Zone)
	return t, true, err
}
