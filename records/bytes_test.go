package records

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/fstest"

	"plumbrule/records/source"
)

const (
	deviceFile   = "devices/scan-02.toml"
	checkFile    = "checks/scan-02/2026/2026-10-05T0812-bar-weekly.toml"
	attachedFile = "certificates/bar-3s/2025-01-06-K-113.pdf"
)

// bytesCase makes a repository that a text archive cannot hold. Any other name
// gives nothing.
func bytesCase(t *testing.T, name string) fs.FS {
	t.Helper()
	files := goodFiles(t)
	device, check := files[deviceFile], files[checkFile]
	switch name {
	case "byte-order-mark":
		device.Data = append([]byte("\ufeff"), device.Data...)
	case "crlf-line-ends":
		device.Data = bytes.ReplaceAll(device.Data, []byte("\n"), []byte("\r\n"))
	case "crlf-line-ends+one":
		device.Data = bytes.Replace(device.Data, []byte("by = \"mk\"\n"), []byte("by = \"mk\"\r\n"), 1)
	case "file-too-large":
		check.Data = append(check.Data, bytes.Repeat([]byte("# 29.9984 30.0011\n"), MaxFileSize/18)...)
	case "not-utf-8":
		device.Data = bytes.ReplaceAll(device.Data, []byte("µ"), []byte("\xb5"))
	case "not-utf-8+utf-16":
		device.Data = utf16(device.Data)
	case "file-unreadable+pipe":
		check.Mode |= fs.ModeNamedPipe
	case "attachment-missing+pipe":
		files[attachedFile].Mode |= fs.ModeNamedPipe
	case "misplaced-record+pipe":
		files["checks/scan-02/2026/2026-10-04T0812-bar-weekly.toml.bak"] = &fstest.MapFile{Mode: fs.ModeNamedPipe}
	case "file-unreadable":
		return deniedFS{files, []string{checkFile}}
	case "file-unreadable+folder":
		return deniedFS{files, []string{"checks/scan-02"}}
	case "file-unreadable+kind":
		return deniedFS{files, []string{"devices"}}
	case "readers-disagree", "record-exists":
	default:
		return linkCase(t, name)
	}
	return files
}

// linkCase makes a repository with a symbolic link, on the machine's disk.
func linkCase(t *testing.T, name string) fs.FS {
	t.Helper()
	var target, at string
	switch name {
	case "symbolic-link":
		target, at = "2026-10-05T0812-bar-weekly.toml", "checks/scan-02/2026/2026-10-05T0812-bar-weekly-2.toml"
	case "symbolic-link+site":
		target, at = "settings.toml", SiteFile
	case "link-outside":
		target, at = "../../elsewhere/scan-03.toml", "devices/scan-03.toml"
	case "link-outside+folder":
		target, at = "../../elsewhere/scan-02", "checks/scan-03"
	case "attachment-missing+link":
		target, at = "../../../archive/K-113.pdf", attachedFile
	case "attachment-missing+nowhere":
		target, at = "K-114.pdf", attachedFile
	case "attachment-missing+circle":
		target, at = "2025-01-06-K-113.pdf", attachedFile
	default:
		return nil
	}
	files := goodFiles(t)
	if at == attachedFile {
		delete(files, at)
	} else if files[at] != nil {
		files[target] = files[at]
		delete(files, at)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, files); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.FromSlash(target), filepath.Join(dir, filepath.FromSlash(at))); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	return os.DirFS(dir)
}

// loadCase loads a repository; some codes need more than files.
func loadCase(files fs.FS, name string) []Diagnostic {
	switch name {
	case "record-exists":
		return []Diagnostic{Taken(checkFile)}
	case "attachment-differs", "attachment-differs+pointer", "attachment-differs+size", "attachment-missing+pointer":
		_, found := Load(files, Options{At: evaluated, Attachments: true})
		return found
	case "readers-disagree":
		l := newLoader(files, Options{At: evaluated})
		l.second = func(text []byte, doc *source.Document) error {
			if bytes.Contains(text, []byte("30.0011")) {
				return errors.New("15:20: reading[0].values[1] is read as 30.0011 here and as 30.0012 by the library")
			}
			return source.CrossCheck(text, doc)
		}
		l.load()
		return l.list
	}
	_, found := Load(files, Options{At: evaluated})
	return found
}

func utf16(b []byte) []byte {
	out := []byte{0xff, 0xfe}
	for _, r := range string(b) {
		out = append(out, byte(r), byte(r>>8))
	}
	return out
}

// deniedFS is a file system that refuses to open some names.
type deniedFS struct {
	fs.FS
	names []string
}

func (d deniedFS) Open(name string) (fs.File, error) {
	if slices.Contains(d.names, name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return d.FS.Open(name)
}
