package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/sphere"
)

// keptScan is a scan that goes to where the site keeps them before the record that names it is written.
type keptScan struct {
	from   string // path of the file
	in     *repository.Repository
	name   string // path inside in
	digest string // SHA-256 of what was fitted
}

// scanned fills the check with readings fitted from scans: each scan gives one value of every feature that can be fitted.
func (r *recording) scanned(ctx context.Context, c *records.Check, p *records.Procedure, f *checkFlags) error {
	artifact := r.set.Artifacts[c.Artifact]
	wanted, err := wantedOfArtifact(artifact)
	if err != nil {
		return err
	}
	rule, err := sphere.ParseOutliers(p.Extraction.OutlierRule())
	if err != nil {
		return err
	}
	how := spheresOf{outliers: rule, fixed: p.Extraction.RadiusRule() == records.FixedRadius, keep: f.picture.given()}
	if how.fixed {
		if err := r.certifiedDiameters(c, &wanted); err != nil {
			return err
		}
	}
	features := fittedFeatures(p, artifact, &wanted)
	if len(features) == 0 {
		return misused(fmt.Sprintf("--scan: procedure %s asks for nothing that can be fitted from a scan of %s", p.ID, artifact.ID), "type the readings as --reading")
	}
	c.Conditions.DullingSpray = f.spray.value
	c.Scans, c.Fits, c.Readings = nil, nil, slices.DeleteFunc(c.Readings, func(x records.Reading) bool {
		return slices.ContainsFunc(features, func(f *records.Feature) bool { return f.Name == x.Feature })
	})
	c.Extraction = &records.Extraction{Program: programName(), Outliers: string(rule), Radius: p.Extraction.RadiusRule()}
	if err := r.env.apart(f.picture.value, *f.scans...); err != nil {
		return err
	}
	for i, name := range *f.scans {
		x, err := r.env.spheres(ctx, name, f.scanUnit.value, wanted, how)
		if err != nil {
			return err
		}
		file, err := r.keep(name, c)
		if err != nil {
			return err
		}
		file.Unit = x.unit
		c.Scans = append(c.Scans, file)
		for _, feature := range features {
			if err := x.reading(c, p, feature, i+1); err != nil {
				return err
			}
		}
		x.ends(c, features, i+1)
		for _, w := range x.warnings {
			r.told = append(r.told, fmt.Sprintf("%s: %s%s", path.Base(file.File), w.label(), w.sentence()))
		}
		if f.picture.given() {
			picture := numberedName(f.picture.value, i, len(*f.scans))
			if err := r.env.apart(picture, *f.scans...); err != nil {
				return err
			}
			r.after = append(r.after, func() error {
				return r.env.writeOutput(picture, func(w io.Writer) error { return x.picture(w, picture) })
			})
		}
	}
	return nil
}

// numberedName puts a number before the suffix where one name is for several files.
func numberedName(name string, i, of int) string {
	if of == 1 {
		return name
	}
	suffix := filepath.Ext(name)
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, suffix), i+1, suffix)
}

// fittedFeatures lists what the procedure asks for and a scan shows: all of the artifact's, if the procedure names none.
func fittedFeatures(p *records.Procedure, a *records.Artifact, w *sphere.Wanted) (out []*records.Feature) {
	can := func(f *records.Feature) bool {
		switch f.Quantity {
		case records.Diameter:
			return true
		case records.Distance:
			return slices.ContainsFunc(w.Distances, func(d sphere.NominalDistance) bool {
				return len(f.Between) == 2 && d.From == f.Between[0] && d.To == f.Between[1]
			})
		case records.Form:
			return f.Of != ""
		default:
			return false
		}
	}
	for i := range a.Features {
		f := &a.Features[i]
		if can(f) && (len(p.Features) == 0 || p.Feature(f.Name) != nil) {
			out = append(out, f)
		}
	}
	return out
}

// reading takes one feature's value from the fits, with what is known of it. n is the number of the scan.
func (x *extraction) reading(c *records.Check, p *records.Procedure, f *records.Feature, n int) error {
	fit := records.Fit{Feature: f.Name, Scan: n}
	var mm, u float64
	var about []string // what warnings must be about to concern it
	switch f.Quantity {
	case records.Distance:
		i := slices.IndexFunc(x.result.Distances, func(d sphere.Distance) bool { return d.From == f.Between[0] && d.To == f.Between[1] })
		mm, u = x.result.Distances[i].MM, x.result.Distances[i].UMM
		about = f.Between
	case records.Form:
		s := x.result.Named(f.Of)
		mm = s.FormMM
		if p.Extraction.FormRule() == records.NinetyFivePoints {
			mm = s.Form95MM
		}
		x.describe(&fit, s)
		about = []string{s.Name, ""}
	default:
		s := x.result.Named(f.Name)
		mm, u = 2*s.RadiusMM, s.UFreeMM
		x.describe(&fit, s)
		about = []string{s.Name, ""}
	}
	if f.Quantity != records.Form {
		fit.Uncertainty = fitUncertainty(u)
	}
	fit.Remarks = x.remarks(about...)
	c.Fits = append(c.Fits, fit)
	// One nanometre is finer than any fit; more digits would only look like more.
	typed := strconv.FormatFloat(mm/c.UnitMM(), 'f', nanometreDigits(c.Unit), 64)
	value, err := strconv.ParseFloat(typed, 64)
	if err != nil {
		return err
	}
	for i := range c.Readings {
		if c.Readings[i].Feature == f.Name {
			c.Readings[i].Values, c.Readings[i].Typed = append(c.Readings[i].Values, value), append(c.Readings[i].Typed, typed)
			return nil
		}
	}
	c.Readings = append(c.Readings, records.Reading{Feature: f.Name, Values: []float64{value}, Typed: []string{typed}})
	return nil
}

// ends notes the fits of spheres that only stand at the end of a distance.
func (x *extraction) ends(c *records.Check, features []*records.Feature, n int) {
	for _, f := range features {
		for _, name := range f.Between {
			if c.FitIn(name, n) != nil {
				continue
			}
			s := x.result.Named(name)
			fit := records.Fit{Feature: name, Scan: n, Uncertainty: fitUncertainty(s.UFreeMM)}
			x.describe(&fit, s)
			fit.Remarks = x.remarks(name, "")
			c.Fits = append(c.Fits, fit)
		}
	}
}

// remarks are the warnings about the spheres named; an empty name stands for the whole scan. That a unit was taken for want
// of a stated one is no remark: the record states it.
func (x *extraction) remarks(about ...string) (out []string) {
	for _, w := range x.warnings {
		if w.code != unitTaken && slices.Contains(about, w.about) {
			out = append(out, w.text)
		}
	}
	return out
}

// fitUncertainty writes a standard uncertainty with four decimals of a micrometre, and never rounds it down to nothing.
func fitUncertainty(mm float64) quantity.LengthUncertainty {
	return must(quantity.ParseLengthUncertainty("u = " + strconv.FormatFloat(max(micrometres(mm), 0.0001), 'f', 4, 64) + " µm"))
}

// nanometreDigits is the number of decimals with which a figure in a unit tells nanometres.
func nanometreDigits(unit string) int {
	switch unit {
	case "m":
		return 9
	case "um", "µm":
		return 3
	case "in":
		return 8
	}
	return 6
}

// describe notes what a fit of a sphere rests on.
func (x *extraction) describe(fit *records.Fit, s *sphere.Sphere) {
	um := func(mm float64) quantity.Length {
		return must(quantity.ParseLength(strconv.FormatFloat(micrometres(mm), 'f', 2, 64) + " µm"))
	}
	fit.Points, fit.Rejected = s.Points, s.Rejected
	fit.Coverage = must(quantity.ParseShare(strconv.FormatFloat(100*max(s.Coverage, 0.001), 'f', 1, 64) + " %"))
	fit.HalfAngle = must(quantity.ParseAngle(strconv.FormatFloat(degrees(s.HalfAngle), 'f', 1, 64) + "°"))
	fit.Form, fit.SD = um(s.FormMM), um(s.SDMM)
}

// must returns a value read from text of our own making, which cannot be wrong.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// certifiedDiameters puts the certified diameters in the place of the nominal ones, for radii that are held.
func (r *recording) certifiedDiameters(c *records.Check, w *sphere.Wanted) error {
	day := calendar.Of(c.Time, r.set.Site.Zone)
	for i := range w.Spheres {
		s := &w.Spheres[i]
		var from *records.Certificate
		for _, cert := range r.set.Certificates[c.Artifact] {
			if cert.Value(s.Name) != nil && cert.Date.Compare(day) <= 0 && (from == nil || cert.Date.Compare(from.Date) > 0) {
				from = cert
			}
		}
		if from == nil {
			return unreadable(fmt.Sprintf("no certificate of %s says the diameter of sphere %s, and procedure %s holds the radii at their certified values", c.Artifact, s.Name, c.Procedure),
				"record the certificate, or let the procedure fit with a free radius", nil)
		}
		s.DiameterMM = from.Value(s.Name).Value.Millimetres()
	}
	return nil
}

// scansFolder is where scans go in a repository whose site says nothing of them.
const scansFolder = "scans"

// keep decides where a scan lies or will lie, and describes it for the record.
func (r *recording) keep(name string, c *records.Check) (records.ScanFile, error) {
	from, err := filepath.Abs(r.env.path(name))
	if err != nil {
		return records.ScanFile{}, err
	}
	s, err := r.env.identify(name)
	if err != nil {
		return s, err
	}
	site := &r.set.Site.Scans
	below := path.Join(c.Device, c.Time.In(r.set.Site.Zone).Format("2006"))
	if site.Archive != "" {
		if !isFolder(site.Archive) {
			s.File = path.Join(below, filepath.Base(from))
			r.told = append(r.told, fmt.Sprintf("the archive %s cannot be reached from here: put the scan there as %s", site.Archive, s.File))
			return s, nil
		}
		s.File, err = r.placed(from, &repository.Repository{Root: site.Archive}, below, s.SHA256)
		return s, err
	}
	if inside, ok := r.insideRepository(from); ok {
		s.File = inside
		return s, nil
	}
	s.File, err = r.placed(from, r.repo, path.Join(firstOf(site.Folder, scansFolder), below), s.SHA256)
	return s, err
}

func isFolder(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.IsDir()
}

// identify reads size and digest of a file.
func (e env) identify(name string) (records.ScanFile, error) {
	file, err := os.Open(e.path(name))
	if err != nil {
		return records.ScanFile{}, unreadable(fmt.Sprintf("%s: cannot be read: %s", name, plainCause(err)), "", err)
	}
	defer func() { _ = file.Close() }()
	info, err := file.Stat()
	if err != nil {
		return records.ScanFile{}, err
	}
	scan := &scanFile{name: name, file: file, size: info.Size()}
	digest, err := scan.digest()
	return records.ScanFile{SHA256: digest, Size: info.Size()}, err
}

// insideRepository returns the path of a file that lies in the repository to stay; the inbox is a place to pass through.
func (r *recording) insideRepository(file string) (string, bool) {
	root, err := filepath.EvalSymlinks(r.repo.Root)
	if err != nil {
		return "", false
	}
	if resolved, err := filepath.EvalSymlinks(file); err == nil {
		file = resolved
	}
	relative, err := filepath.Rel(root, file)
	if err != nil || !filepath.IsLocal(relative) {
		return "", false
	}
	relative = filepath.ToSlash(relative)
	return relative, !strings.HasPrefix(relative, "inbox/")
}

// placed finds a free name for a scan in a folder, or the one under which it lies there already.
func (r *recording) placed(from string, in *repository.Repository, folder, digest string) (string, error) {
	want := path.Join(folder, strings.ReplaceAll(filepath.Base(from), " ", "-"))
	name := want
	for n := 2; ; n++ {
		planned := slices.IndexFunc(r.kept, func(k keptScan) bool { return k.name == name && k.in.Root == in.Root })
		if planned < 0 && !in.Exists(name) {
			r.kept = append(r.kept, keptScan{from, in, name, digest})
			return name, nil
		}
		if planned < 0 {
			there, err := r.env.identify(in.Path(name))
			if err != nil {
				return "", err
			}
			if there.SHA256 == digest {
				return name, nil
			}
		}
		suffix := path.Ext(want)
		name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(want, suffix), n, suffix)
	}
}

// bringScans copies scans to where the site keeps them. undo takes away again what it has copied.
func (r *recording) bringScans() (undo func(), err error) {
	var copied []string
	undo = func() {
		for _, name := range copied {
			_ = os.Remove(name) // a copy of ours, made a moment ago, that nothing names
		}
	}
	for _, k := range r.kept {
		if err := k.bring(); err != nil {
			undo()
			return nil, unreadable(fmt.Sprintf("%s: the scan could not be copied to %s: %s", k.from, k.name, plainCause(err)),
				"nothing was recorded; see that the place can be written to and the scan is complete, and record again", err)
		}
		copied = append(copied, k.in.Path(k.name))
	}
	return undo, nil
}

// bring copies one scan and holds the copy against what was fitted.
func (k *keptScan) bring() error {
	file, err := os.Open(k.from)
	if err != nil {
		return err
	}
	defer func() { _ = file.Close() }()
	hash := sha256.New()
	err = k.in.CreateFrom(k.name, func() (io.Reader, error) {
		hash.Reset()
		_, err := file.Seek(0, io.SeekStart)
		return io.TeeReader(file, hash), err
	})
	if err != nil {
		return err
	}
	if hex.EncodeToString(hash.Sum(nil)) != k.digest {
		return errors.Join(errors.New("it has changed since it was fitted"), os.Remove(k.in.Path(k.name)))
	}
	return nil
}

// broughtIn lists the scans copied into the repository.
func (r *recording) broughtIn() (names []string) {
	for _, k := range r.kept {
		if k.in.Root == r.repo.Root {
			names = append(names, k.name)
		}
	}
	return names
}

// programName is what records say of the program that fitted.
func programName() string {
	info, _ := debug.ReadBuildInfo()
	return "plumbrule " + edition(info).Version
}
