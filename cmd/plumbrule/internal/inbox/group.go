package inbox

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
)

// group is what was dropped together: originals and what is said of them.
type group struct {
	files   []*seen // originals, in the order of the repeats
	sidecar *seen   // nil: there is none, or it is itself the original
	said    records.Sidecar
	digest  string // of the sidecar
	waits   string // why it is not complete; empty: it is
	trouble string // why its sidecar cannot be read now; empty: it can
	fault   *Refusal
	patient bool // the fault may go away by itself
}

// name is what the group is called: its first file.
func (g *group) name() string { return g.all()[0].name }

// all lists the files, the sidecar last.
func (g *group) all() []*seen {
	if g.sidecar == nil {
		return g.files
	}
	return append(slices.Clone(g.files), g.sidecar)
}

func (g *group) names() (out []string) {
	for _, f := range g.all() {
		out = append(out, f.name)
	}
	return out
}

// since is when the last of its files changed.
func (g *group) since() (last time.Time) {
	for _, f := range g.all() {
		if f.since.After(last) {
			last = f.since
		}
	}
	return last
}

// whole reports whether all of its files are complete. A sidecar that is said to
// be done vouches for all it speaks of, and what it speaks of for the sidecar.
func (g *group) whole() bool {
	done := slices.ContainsFunc(g.all(), func(f *seen) bool { return f.done })
	if g.sidecar != nil && (g.sidecar.done || len(g.files) == 1 && done) {
		return true
	}
	return !slices.ContainsFunc(g.all(), func(f *seen) bool { return !f.whole })
}

// empty reports whether an original has nothing in it, and nobody says that it is
// done.
func (g *group) empty() bool {
	return slices.ContainsFunc(g.files, func(f *seen) bool { return f.info.Size() == 0 && !f.done })
}

// groups sorts the files by what belongs together: first those of which a sidecar
// speaks, then those whose names fit a pattern, then what nobody speaks of.
func (l *look) groups() []*group {
	var out []*group
	var loose []*seen
	originals := map[string]*seen{}
	var sidecars []*seen
	for i := range l.files {
		f := &l.files[i]
		fault, patient := l.misfit(f)
		_, sidecar := cutEnding(f.name, sidecarEnding)
		switch {
		case fault != nil:
			out = append(out, &group{files: []*seen{f}, fault: fault, patient: patient})
		case unfinished(f.name):
			out = append(out, &group{files: []*seen{f}, waits: "its name is that of an unfinished file"})
		case sidecar:
			sidecars = append(sidecars, f)
		default:
			originals[f.name] = f
			loose = append(loose, f)
		}
	}
	claims := map[string]*group{}
	writing := false // something that may be said is not complete
	for _, f := range sidecars {
		g := l.spokenOf(f, originals)
		writing = writing || !g.whole() || g.trouble != ""
		out = append(out, g)
		g.claim(claims)
	}
	for _, f := range loose {
		if claims[f.name] == nil {
			out = append(out, l.unspoken(f, writing && !f.done))
		}
	}
	return out
}

// misfit says why something can be no drop at all.
func (l *look) misfit(f *seen) (fault *Refusal, patient bool) {
	if why := unusable(f.name); why != "" {
		return &Refusal{What: why, Mend: "give it a shorter or plainer name"}, false
	}
	switch mode := f.info.Mode(); {
	case mode.IsDir():
		return &Refusal{What: "it is a folder, and folders are not looked into", Mend: "drop the files themselves"}, true
	case !mode.IsRegular():
		return &Refusal{What: "it is no ordinary file but " + irregular(mode), Mend: "drop the file itself"}, false
	}
	return nil, false
}

// claim notes whose files these are. A file of which two sidecars speak is
// refused with both: nobody can tell which of them holds.
func (g *group) claim(claims map[string]*group) {
	g.files = slices.DeleteFunc(g.files, func(f *seen) bool {
		other := claims[f.name]
		if other == nil {
			claims[f.name] = g
			return false
		}
		fault := &Refusal{
			What: fmt.Sprintf("two sidecars speak of %s, %s and %s", show.Text(f.name), show.Text(other.sidecar.name), show.Text(g.sidecar.name)),
			Mend: "let one of them speak of it",
		}
		g.fault, g.patient, other.fault, other.patient = fault, false, fault, false
		g.trouble, other.trouble = "", ""
		return true
	})
}

// unspoken is a file of which no sidecar speaks.
func (l *look) unspoken(f *seen, writing bool) *group {
	g := &group{files: []*seen{f}}
	if of, ok := aboutOther(f.name); ok {
		g.fault, g.patient = &Refusal{What: fmt.Sprintf("it is about a file %s, which does not lie beside it", show.Text(of)), Mend: "drop that file with it, or delete this one"}, true
		return g
	}
	if d, ok := l.pattern(f.name); ok {
		if writing {
			g.waits = "a sidecar beside it is not complete, and may speak of it"
			return g
		}
		g.said = records.Sidecar{}.Or(&d)
		return g
	}
	g.fault, g.patient = &Refusal{
		What: fmt.Sprintf("nothing says what it is: no sidecar %s%s came within %s, and no [[drop]] in %s fits its name", show.Text(f.name), sidecarEnding, spoken(l.patience()), records.SiteFile),
		Mend: fmt.Sprintf("write a file %s%s with device, artifact, procedure and by (explain sidecar lists its keys), or add a [[drop]]", show.Text(f.name), sidecarEnding),
	}, true
	return g
}

func aboutOther(name string) (string, bool) {
	if of, ok := cutEnding(name, doneEnding); ok {
		return of, true
	}
	return cutEnding(name, reasonEnding)
}

// pattern returns what the settings say of files of this name.
func (l *look) pattern(name string) (records.Drop, bool) {
	for i := range l.settings.Drops {
		if d, ok := l.settings.Drops[i].Match(name); ok {
			return d, true
		}
	}
	return records.Drop{}, false
}

// spoken writes a time people wait.
func spoken(d time.Duration) string {
	if d >= time.Minute && d%time.Minute == 0 {
		return fmt.Sprintf("%d min", d/time.Minute)
	}
	return strings.TrimSpace(d.String())
}
