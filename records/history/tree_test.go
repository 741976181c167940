package history_test

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/records/history"
)

// Records to copy: a whole year of a works, and the few of a shop.
const (
	wholeWorks = "../../examples/propeller-works"
	smallShop  = "../../cmd/plumbrule/testdata/shop"
)

// copied makes a new repository with records below a folder, and commits them.
func copied(t *testing.T, from, folder string, prepare ...string) *past {
	t.Helper()
	p := newPast(t)
	p.dir = t.TempDir()
	p.git(append([]string{"init", "--quiet"}, prepare...)...)
	if err := os.CopyFS(filepath.Join(p.dir, folder), os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	p.save("records")
	return p
}

// save commits all that lies in the work tree.
func (p *past) save(message string) {
	p.Helper()
	p.git("add", ".")
	p.git("-c", "user.name=mk", "-c", "user.email=mk@example.org", "commit", "--quiet", "--message", message)
}

func (p *past) write(name, text string) {
	p.Helper()
	path := filepath.Join(p.dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		p.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		p.Fatal(err)
	}
}

// records returns the records of a revision.
func (p *past) records(r *history.Repository, revision string) *history.Tree {
	p.Helper()
	commit, err := r.Commit(context.Background(), revision)
	if err != nil {
		p.Fatal(err)
	}
	tree, err := r.Records(context.Background(), commit)
	if err != nil {
		p.Fatal(err)
	}
	p.Cleanup(func() {
		if err := tree.Close(); err != nil {
			p.Error(err)
		}
	})
	return tree
}

// What is loaded from a commit is what is loaded from the folder it was made from: at the top, in a subfolder, in a bare
// clone, in a second work tree, in a shallow clone, and with objects named by SHA-256.
func TestRecordsAreThoseOfTheFolder(t *testing.T) {
	same := func(name, from, dir string) {
		t.Run(name, func(t *testing.T) {
			want, wantDiagnostics := records.Load(os.DirFS(from), records.Options{Attachments: true})
			if want.Count() < 5 {
				t.Fatalf("%d records in the example", want.Count())
			}
			p := newPast(t)
			p.dir = dir
			got, diagnostics := records.Load(p.records(p.reopen(), "HEAD"), records.Options{Attachments: true})
			if diff := cmp.Diff(want, got, cmp.Exporter(func(reflect.Type) bool { return true })); diff != "" {
				t.Errorf("(-folder +commit)\n%s", diff)
			}
			if diff := cmp.Diff(wantDiagnostics, diagnostics); diff != "" {
				t.Errorf("diagnostics (-folder +commit)\n%s", diff)
			}
		})
	}
	same("at the top", wholeWorks, copied(t, wholeWorks, ".").dir)
	top := copied(t, smallShop, ".")
	same("in a subfolder", smallShop, filepath.Join(copied(t, smallShop, "lab/my records").dir, "lab", "my records"))
	same("by SHA-256", smallShop, copied(t, smallShop, ".", "--object-format=sha256").dir)
	below := copied(t, smallShop, "lab")
	for name, p := range map[string]*past{"": top, " with the records below": below} {
		bare := filepath.Join(t.TempDir(), "bare.git")
		p.git("clone", "--quiet", "--bare", p.dir, bare)
		same("a bare clone"+name, smallShop, bare)
	}
	second := filepath.Join(t.TempDir(), "second")
	top.git("worktree", "add", "--quiet", "--detach", second)
	same("a second work tree", smallShop, second)
	shallow := filepath.Join(t.TempDir(), "shallow")
	top.git("clone", "--quiet", "--depth=1", "file://"+top.dir, shallow)
	same("a shallow clone", smallShop, shallow)
}

// A tree keeps the rules of file systems (package testing/fstest), and holds names that need care.
func TestTreeIsAFileSystem(t *testing.T) {
	names := []string{"plumbrule.toml", "checks/a b/ü.toml", "checks/new\nline.toml", "checks/\"quoted\".toml", "-x/-y.toml", "jobs/empty.toml", "scan.ply"}
	p := newPast(t)
	files := tree{}
	for _, name := range names {
		files[name] = "content of " + name
	}
	p.commit("one", nil, files)
	r := p.open()
	p.git("checkout", "--quiet", "--detach", "one")
	p.write("jobs/large.toml", strings.Repeat("0123456789abcdef", 17<<16))
	p.write("jobs/none.toml", "")
	if err := os.Symlink("large.toml", filepath.Join(p.dir, "jobs", "link.toml")); err != nil {
		t.Fatal(err)
	}
	p.save("more")
	fsys := p.records(r, "HEAD")
	for _, name := range names {
		for range 2 { // the second time it comes by another way
			got, err := fs.ReadFile(fsys, name)
			if err != nil || string(got) != "content of "+name {
				t.Errorf("%q holds %q, %v", name, got, err)
			}
		}
	}
	if got, err := fs.ReadFile(fsys, "jobs/large.toml"); err != nil || len(got) != 17<<20 {
		t.Errorf("the large file has %d bytes, %v", len(got), err)
	}
	if got, err := fs.ReadFile(fsys, "jobs/none.toml"); err != nil || len(got) != 0 {
		t.Errorf("the empty file has %d bytes, %v", len(got), err)
	}
	if got, err := fs.ReadLink(fsys, "jobs/link.toml"); err != nil || got != "large.toml" {
		t.Errorf("the link leads to %q, %v", got, err)
	}
	if _, err := fsys.Open("jobs/link.toml"); err == nil {
		t.Error("a link was followed")
	}
	whole := p.records(r, "one")
	if err := fstest.TestFS(whole, names...); err != nil {
		t.Error(err)
	}
}

// Whatever is wrong with an object, the record that needs it is named, and every other is read.
func TestDamagedObjects(t *testing.T) {
	for name, damage := range map[string]func(path string) error{
		"lost":  os.Remove,
		"empty": func(path string) error { return os.Truncate(path, 0) },
		"cut short": func(path string) error { // so that git finds its beginning, and ends over the rest
			info, err := os.Stat(path)
			if err != nil {
				return err
			}
			return os.Truncate(path, info.Size()*3/4)
		},
		"no zlib": func(path string) error { return os.WriteFile(path, []byte("garbage"), 0o644) },
	} {
		t.Run(name, func(t *testing.T) {
			p := copied(t, smallShop, ".")
			whole, _ := records.Load(os.DirFS(p.dir), records.Options{})
			const file = "checks/scan-1/2026"
			entries, err := os.ReadDir(filepath.Join(p.dir, file))
			if err != nil {
				t.Fatal(err)
			}
			broken := file + "/" + entries[0].Name()
			hash := strings.TrimSpace(p.git("rev-parse", "HEAD:"+broken))
			object := filepath.Join(p.dir, ".git", "objects", hash[:2], hash[2:])
			if err := os.Chmod(object, 0o644); err != nil {
				t.Fatal(err)
			}
			if err := damage(object); err != nil {
				t.Fatal(err)
			}
			fsys := p.records(p.reopen(), "HEAD")
			set, diagnostics := records.Load(fsys, records.Options{})
			at := slices.IndexFunc(diagnostics, func(d records.Diagnostic) bool { return d.Code == "file-unreadable" })
			if at < 0 || diagnostics[at].File != broken || !strings.Contains(diagnostics[at].Message, hash[:10]) {
				t.Errorf("no diagnostic names %s and its object %s: %v", broken, hash, diagnostics)
			}
			if got, want := set.Count(), whole.Count()-1; got != want {
				t.Errorf("%d records were read, want %d", got, want)
			}
			if !slices.ContainsFunc(set.Unreadable, func(u records.Unreadable) bool { return u.File == broken && u.Subject == "scan-1" }) {
				t.Error("the record has disappeared")
			}
			_, err = fsys.Open(broken)
			var fault *history.ObjectError
			if !errors.As(err, &fault) || fault.Object != hash || fault.Path != broken {
				t.Errorf("opened again: %v", err)
			}
		})
	}
}

// A folder whose listing is lost takes nothing else with it: what lay in it is unreadable, and not absent.
func TestDamagedFolders(t *testing.T) {
	for folder, subject := range map[string]string{"checks": "scan-1", "checks/scan-1/2026": "scan-1", "devices": "scan-1"} {
		p := copied(t, smallShop, "lab")
		hash := strings.TrimSpace(p.git("rev-parse", "HEAD:lab/"+folder))
		if err := os.Remove(filepath.Join(p.dir, ".git", "objects", hash[:2], hash[2:])); err != nil {
			t.Fatal(err)
		}
		p.dir = filepath.Join(p.dir, "lab")
		set, diagnostics := records.Load(p.records(p.reopen(), "HEAD"), records.Options{})
		if !slices.ContainsFunc(diagnostics, func(d records.Diagnostic) bool { return d.File == folder && strings.Contains(d.Message, hash[:10]) }) {
			t.Errorf("no diagnostic names %s and its object %s: %v", folder, hash, diagnostics)
		}
		if set.Count() < 3 || len(set.Unreadable) == 0 {
			t.Errorf("%s: %d records are left, unreadable %v", folder, set.Count(), set.Unreadable)
		}
		if folder != "devices" && !slices.ContainsFunc(set.Unreadable, func(u records.Unreadable) bool { return u.Subject == subject || u.Subject == "" }) {
			t.Errorf("%s: unreadable %v", folder, set.Unreadable)
		}
	}
}

func TestNoRecordsThere(t *testing.T) {
	p := newPast(t)
	p.commit("none", nil, tree{"README": "x"})
	p.commit("two", []string{"none"}, tree{"a/plumbrule.toml": "x", "b/plumbrule.toml": "x"})
	r := p.open()
	for revision, others := range map[string][]string{"none": nil, "two": {"a", "b"}} {
		commit, err := r.Commit(context.Background(), revision)
		if err != nil {
			t.Fatal(err)
		}
		_, err = r.Records(context.Background(), commit)
		var none *history.NoRecords
		if !errors.As(err, &none) || !slices.Equal(none.Others, others) {
			t.Errorf("%s: %v", revision, err)
		}
	}
}
