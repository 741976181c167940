package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// template holds the files of a new repository: a site, and commented examples of each kind of record that end in
// .example, so that nothing is judged before somebody has written it.
//
//go:embed all:template
var template embed.FS

func newInitCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "init [DIR]",
		Short:   "begin a records repository, with commented examples",
		GroupID: groupRecord,
		Long: "Init writes plumbrule.toml and an example of each kind of record, every key explained. Examples lie in the folder " +
			"templates and are no records; copy one to its place and edit it. Nothing that exists is touched.\n\n" +
			"With --hooks git is told to check the records before each commit (validate --strict, and that no recorded evidence is " +
			"rewritten), and " + recipeFile + " is written for a machine that checks what was pushed. In a repository that was begun before it " +
			"writes only these.",
		Example:     "  plumbrule init works --name \"Propeller works\" --time-zone Europe/Berlin",
		Annotations: seeAlso(statuses("0", "the repository was begun", "3", "there is one already, or the folder cannot be written"), "record", "validate", "history"),
	}
	flags := flagsOf(cmd)
	name := flags.text("name", "`NAME` of the shop or laboratory")
	zone := flags.text("time-zone", "time `ZONE` in which dates are meant, by its name in the tz database; Etc/UTC if not given")
	unit := readFlag(flags, "unit", "`UNIT` of readings: mm, µm, m or in; mm if not given", oneOf("mm", "µm", "m", "in"))
	hooks := flags.yes("hooks", "have git check the records before each commit")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) > 1 {
			return misused(fmt.Sprintf("%q is one word too many, expected one folder", args[1]), "")
		}
		dir := e.Dir
		if len(args) == 1 {
			dir = e.path(args[0])
		}
		site := records.Site{Format: records.Format, Name: *name, TimeZone: *zone, Unit: unit.value}
		if site.Name == "" {
			site.Name = "our shop"
		}
		if site.TimeZone == "" {
			site.TimeZone = "Etc/UTC"
		}
		if site.Unit == "" {
			site.Unit = "mm"
		}
		if _, err := calendar.Zone(site.TimeZone); err != nil {
			return misused("--time-zone: "+err.Error(), "write a name such as Europe/Berlin")
		}
		if r, err := repository.Find(dir); err == nil && *hooks {
			return e.onlyHooks(cmd, r)
		}
		return e.begin(cmd, dir, &site, *hooks)
	}
	return cmd
}

type initJSON struct {
	Root  string   `json:"root"`
	Files []string `json:"files"`
}

// onlyHooks installs the hooks of a repository that was begun before.
func (e env) onlyHooks(cmd *cobra.Command, r *repository.Repository) error {
	written, err := e.installHooks(cmd.Context(), r)
	if err != nil {
		return err
	}
	t := table.Table{Columns: []table.Column{{Title: "file"}}}
	for _, f := range written {
		t.Add(table.Text(f))
	}
	return e.print(formatOf(cmd), answer{
		JSON: initJSON{Root: r.Root, Files: written}, CSV: t, Above: []string{"git checks the records in " + r.Root + " before each commit"}, Verbatim: written,
		Below: []string{"commit " + recipeFile + ", and have a machine run it after each push; each clone needs its own hook"},
	})
}

// begin writes the files of a new repository.
func (e env) begin(cmd *cobra.Command, dir string, site *records.Site, hooks bool) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return unreadable(err.Error(), "name a folder that can be written", err)
	}
	if r, err := repository.Find(dir); err == nil {
		return unreadable(fmt.Sprintf("%s is a records repository already", r.Root), "nothing was written", nil)
	}
	r := &repository.Repository{Root: dir}
	out := initJSON{Root: dir, Files: []string{}}
	err := fs.WalkDir(template, "template", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(template, path)
		if err != nil {
			return err
		}
		name := strings.TrimPrefix(path, "template/")
		if name == records.SiteFile {
			text = fillSite(text, site)
		}
		err = r.Create(name, text)
		switch {
		case errors.Is(err, repository.ErrExists):
			return nil // a README of the user's own stays
		case err != nil:
			return unreadable(err.Error(), "name a folder that can be written", err)
		}
		out.Files = append(out.Files, name)
		return nil
	})
	if err != nil {
		return err
	}
	for _, folder := range []string{"artifacts", "procedures", "devices"} { // where the first records go
		if err := os.MkdirAll(r.Path(folder), 0o755); err != nil {
			return unreadable(err.Error(), "name a folder that can be written", err)
		}
	}
	var unhooked error
	if hooks {
		var written []string
		written, unhooked = e.installHooks(cmd.Context(), r)
		out.Files = append(out.Files, written...)
	}
	t := table.Table{Columns: []table.Column{{Title: "file"}}}
	for _, f := range out.Files {
		t.Add(table.Text(f))
	}
	git := "put it under version control: git init && git add . && git commit"
	if r.UnderGit(cmd.Context()) {
		git = "put it under version control: git add . && git commit"
	}
	err = e.print(formatOf(cmd), answer{
		JSON: out, CSV: t, Above: []string{"begun in " + dir},
		Verbatim: out.Files,
		Below: []string{
			"next: cd " + dir + "; copy from templates, in this order, an artifact, a procedure and a device to their folders, edit them, and run plumbrule validate",
			"then record a certificate of the artifact and one of the device, both reviewed, and the first check: plumbrule help record",
			git,
		},
	})
	return errors.Join(err, unhooked)
}

// fillSite puts the site's own values in the place of the template's.
func fillSite(text []byte, site *records.Site) []byte {
	return []byte(strings.NewReplacer(
		`"@name"`, records.Quoted(site.Name), `"@time-zone"`, records.Quoted(site.TimeZone), `"@unit"`, records.Quoted(site.Unit),
	).Replace(string(text)))
}
