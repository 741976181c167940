package records

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestLinkedAttachments puts the certificate somewhere else in the repository,
// with a link in its place: to the file, which is followed, or to its folder.
func TestLinkedAttachments(t *testing.T) {
	for name, c := range map[string]struct{ at, target, want string }{
		"to a file in the repository": {attachedFile, "../../archive/K-113.pdf", ""},
		"to a link to it":             {attachedFile, "../../archive/link.pdf", ""},
		"out of the repository":       {attachedFile, "/nowhere/K-113.pdf", "is a symbolic link out of the repository, to /nowhere"},
		"to another file":             {attachedFile, "../../plumbrule.toml", "[attachment-differs]"},
		"a folder out of it":          {"scans", "../elsewhere", "lies behind the symbolic link scans"},
		"a folder in it":              {"scans", "archive", "lies behind the symbolic link scans"},
	} {
		t.Run(name, func(t *testing.T) {
			files := goodFiles(t)
			files["archive/K-113.pdf"] = files[attachedFile]
			delete(files, attachedFile)
			const certificate = "certificates/bar-3s/2025-01-06-K-113.toml"
			if c.at == "scans" {
				files[certificate].Data = []byte(strings.Replace(string(files[certificate].Data), attachedFile, "scans/K-113.pdf", 1))
			}
			dir := t.TempDir()
			if err := os.CopyFS(dir, files); err != nil {
				t.Fatal(err)
			}
			for at, target := range map[string]string{c.at: c.target, "archive/link.pdf": "K-113.pdf"} {
				if err := os.Symlink(filepath.FromSlash(target), filepath.Join(dir, filepath.FromSlash(at))); err != nil {
					t.Skip("no symbolic links here: ", err)
				}
			}
			set, found := Load(os.DirFS(dir), Options{At: evaluated, Attachments: true})
			if got := printed(found); c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("got:\n%s", got)
			}
			if (len(set.Unreadable) > 0) != (c.want == "[attachment-differs]") {
				t.Errorf("unreadable: %v", unreadable(set))
			}
		})
	}
}

// TestAttachmentsAreReadOnlyWhenAsked loads another file than the one recorded
// without asking for the comparison.
func TestAttachmentsAreReadOnlyWhenAsked(t *testing.T) {
	files := goodFiles(t)
	files[attachedFile].Data = []byte("another one\n")
	opened := &openedFS{MapFS: files}
	if _, found := Load(opened, Options{At: evaluated, CrossCheck: true}); len(found) > 0 {
		t.Errorf("got:\n%s", printed(found))
	}
	for _, name := range opened.names {
		if name == attachedFile {
			t.Error("the attachment was opened")
		}
	}
}
