package inbox

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
)

// refuse puts a group into inbox/refused, each original with a reason beside it.
func (l *look) refuse(g *group, r *Refusal) {
	if l.resting(g.name()) {
		l.stillTrouble(g.name())
		return
	}
	names := g.names()
	for n := 1; ; n++ {
		to := l.refusedNames(g, n)
		if l.anyThere(to) {
			continue
		}
		err := l.putAside(g, r, to)
		switch {
		case errors.Is(err, fs.ErrExist):
			continue
		case err != nil:
			l.trouble(g.name(), names, fmt.Sprintf("it is refused, because %s, and cannot be put into %s: %s", r.What, path.Join(Folder, refusedFolder), plain(err)))
			return
		}
		for i, name := range names {
			l.report.Refused = append(l.report.Refused, Refused{File: name, Reason: r.sentences(), Place: path.Join(Folder, refusedFolder, to[i])})
		}
		return
	}
}

// refusedNames are the names of the files in inbox/refused. A sidecar keeps the
// name of the file it speaks of, with its ending.
func (l *look) refusedNames(g *group, n int) (out []string) {
	for i, f := range g.all() {
		base, sidecar := cutEnding(f.name, sidecarEnding)
		if of := i - 1; sidecar && g.sidecar == f && of >= 0 && g.files[0].name == base {
			out = append(out, out[0]+sidecarEnding)
			continue
		}
		out = append(out, numbered(safe(f.name), n))
	}
	return out
}

func (l *look) refusedPath(name string) string { return l.path(path.Join(refusedFolder, name)) }

// anyThere reports whether one of the names is taken. A reason without its file
// is left from one that was put back.
func (l *look) anyThere(names []string) bool {
	for _, name := range names {
		// The second is that of a refused file whose name is that of a reason.
		for _, there := range []string{name, name + reasonEnding + reasonEnding} {
			if _, err := l.disk.lstat(l.refusedPath(there)); err == nil {
				return true
			}
		}
	}
	return false
}

// putAside writes the reasons and moves the files, in this order: a reason
// without its file does no harm.
func (l *look) putAside(g *group, r *Refusal, to []string) error {
	if err := l.folders(l.refusedPath("")); err != nil {
		return err
	}
	all := g.all()
	for i := range all {
		if all[i] == g.sidecar && len(g.files) > 0 {
			continue
		}
		if err := l.overwrite(l.refusedPath(to[i]+reasonEnding), []byte(l.reason(g, r, to))); err != nil {
			return err
		}
	}
	// The sidecar goes first: without it the others wait, and do not become another check.
	for i, f := range slices.Backward(all) {
		if err := l.disk.move(l.path(f.name), l.refusedPath(to[i])); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		for _, mark := range f.marks {
			if err := l.disk.remove(l.path(mark)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	return errors.Join(l.disk.settle(l.refusedPath("")), l.disk.settle(l.path("")))
}

// sentences say all of a refusal in one paragraph.
func (r *Refusal) sentences() string {
	out := capital(r.What) + "."
	if r.Where != "" {
		out += " See " + r.Where + "."
	}
	if r.Mend != "" {
		out += " What would mend it: " + r.Mend + "."
	}
	return out
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' || strings.ContainsAny(strings.SplitN(s, " ", 2)[0], "./-_0123456789") {
		return s // what begins with a name is left as it is
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// reason is the text that lies beside refused files.
func (l *look) reason(g *group, r *Refusal, to []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Not taken in: %s\n\n%s", strings.Join(to, ", "), show.Paragraph(r.sentences(), 80, 0))
	b.WriteString("\n")
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "%s\n\n", strings.TrimRight(f, "\n"))
	}
	all := g.all()
	for i := range all {
		if all[i].name != to[i] {
			fmt.Fprintf(&b, "%s was called %s.\n", to[i], show.Text(all[i].name))
		}
	}
	b.WriteString(show.Paragraph(fmt.Sprintf("To have it taken in, mend that and move all of it back to the folder %s. What is not wanted can be deleted.", Folder), 80, 0))
	zone := l.settings.Zone
	if zone == nil {
		zone = time.UTC
	}
	// In the hour that comes twice when summer time ends, only the offset tells which one it was.
	fmt.Fprintf(&b, "Refused %s, %s.\n", l.now.In(zone).Format("2006-01-02 15:04 -07:00"), zone)
	return b.String()
}
