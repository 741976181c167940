package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/attached"
	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/records"
	"plumbrule/records/history"
	"plumbrule/rules/trace"
)

// mostCopied is the size in bytes above which an attached file is not copied but named with its digest: certificates as they
// came are smaller, scans are larger.
const mostCopied = 4 << 20

// copyRecords puts the records into the folder byte for byte, and says which attached files it leaves out.
func (a *audited) copyRecords(folder *pack.Folder) ([]pack.Left, error) {
	attachments := a.attachments()
	var names []string
	left := []pack.Left{}
	err := fs.WalkDir(a.files, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && name == ".":
			return err
		case err != nil:
			left = append(left, pack.Left{File: name, Why: "cannot be listed: " + plainCause(err)})
		case d.IsDir() && strings.HasPrefix(d.Name(), ".") && name != ".":
			return fs.SkipDir
		case d.Type().IsRegular() && a.uses(name):
			names = append(names, name)
		}
		return nil
	})
	if err != nil {
		return nil, unreadable("the records cannot be listed: "+plainCause(err), "look at their permissions", err)
	}
	if err := sideBySide(len(names), func(i int) error {
		if err := a.copyFile(folder, names[i]); err != nil {
			return unreadable(fmt.Sprintf("%s: not copied: %s", names[i], plainCause(err)), "look at the file and at the room on the disk", err)
		}
		return nil
	}); err != nil {
		return nil, err
	}
	copied := map[string]bool{}
	for _, name := range names {
		copied[name] = true
	}
	for _, f := range attachments {
		if copied[f.File] {
			continue
		}
		look := a.looks[trace.FileKey(f)]
		why := ""
		switch {
		case look.State != trace.Same:
			why = strings.TrimSpace(string(look.State) + " " + look.Why)
		case look.Size > mostCopied:
			why = fmt.Sprintf("larger than %d MiB", mostCopied>>20)
		}
		if why == "" {
			err := a.copyFile(folder, f.File)
			if err == nil {
				continue
			}
			why = plainCause(err)
		}
		left = append(left, pack.Left{File: f.File, Size: look.Size, SHA256: f.SHA256, Why: why})
	}
	return left, nil
}

// copyFile puts a file of the records into the folder.
func (a *audited) copyFile(folder *pack.Folder, name string) error {
	return folder.Add(path.Join(pack.RecordsFolder, name), func(w io.Writer) error {
		f, err := a.files.Open(name)
		if err != nil {
			return err
		}
		defer func() { _ = f.Close() }()
		_, err = io.Copy(w, f)
		return err
	})
}

// uses tells whether the pack needs a record: that of a device it is about, or one that belongs to no device alone.
func (a *audited) uses(name string) bool {
	kind, subject := records.KindOf(name)
	if kind == "" {
		return false
	}
	if a.all {
		return true
	}
	switch kind {
	case "device", "check":
		return a.about[subject]
	case "certificate", "event":
		_, artifact := a.set.Artifacts[subject]
		return a.about[subject] || artifact
	}
	return true
}

// attachments lists the files that the records used name, each once, by path.
func (a *audited) attachments() []records.Attachment {
	var out []records.Attachment
	for _, list := range a.set.Certificates {
		for _, c := range list {
			if c.Attachment != nil && a.uses(c.File) {
				out = append(out, *c.Attachment)
			}
		}
	}
	for id, list := range a.set.Checks {
		if !a.all && !a.about[id] {
			continue
		}
		for _, k := range list {
			for _, s := range k.Scans {
				out = append(out, records.Attachment{File: s.File, SHA256: s.SHA256, Size: s.Size})
			}
		}
	}
	slices.SortFunc(out, func(x, y records.Attachment) int {
		return cmp.Or(strings.Compare(x.File, y.File), strings.Compare(x.SHA256, y.SHA256))
	})
	return slices.CompactFunc(out, func(x, y records.Attachment) bool { return x.File == y.File })
}

// look compares the attached files with what the records say of them.
func (a *audited) look(ctx context.Context) (map[string]trace.Look, error) {
	list := a.attachments()
	tree, isTree := a.files.(*history.Tree)
	if !isTree {
		return lookAt(ctx, a.repository, list)
	}
	out := make(map[string]trace.Look, len(list))
	for _, f := range list {
		out[trace.FileKey(f)] = lookInTree(ctx, tree, f)
	}
	return out, nil
}

func lookInTree(ctx context.Context, tree *history.Tree, f records.Attachment) trace.Look {
	if !fs.ValidPath(f.File) {
		return trace.Look{State: trace.Outside, Why: "is no path inside the repository"}
	}
	info, err := tree.Lstat(f.File)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return trace.Look{State: trace.Missing, Why: "is not in the commit"}
	case err != nil:
		return trace.Look{State: trace.Unseen, Why: "cannot be read: " + plainCause(err)}
	case !info.Mode().IsRegular():
		return trace.Look{State: trace.Missing, Why: "is no ordinary file in the commit"}
	}
	in, err := tree.Open(f.File)
	if err != nil {
		return trace.Look{State: trace.Unseen, Why: "cannot be read: " + plainCause(err)}
	}
	defer func() { _ = in.Close() }()
	return attached.Compare(ctx, in, f)
}
