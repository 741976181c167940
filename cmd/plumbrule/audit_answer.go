package main

import (
	"fmt"
	"path"

	"plumbrule/cmd/plumbrule/internal/table"
)

// auditJSON is what audit prints as JSON: an interface, to which fields are only added.
type auditJSON struct {
	Folder   string   `json:"folder"`
	Files    int      `json:"files"` // that the manifest lists
	Site     string   `json:"site"`
	From     string   `json:"from"`
	At       string   `json:"at"`
	Devices  []string `json:"devices"`
	Commit   string   `json:"commit"`   // empty: the records are not committed as they are
	Cautions []string `json:"cautions"` // what the pack cannot show
	Command  []string `json:"command"`  // that makes it again
}

func (a *audited) answer() answer {
	out := auditJSON{
		Folder: a.into, Files: a.count, Site: a.set.Site.Name, From: a.from.String(), At: a.stamp(), Devices: []string{}, Commit: a.commit,
		Cautions: append([]string{}, a.cautions...), Command: a.command(),
	}
	for _, d := range a.devices {
		out.Devices = append(out.Devices, d.ID)
	}
	t := table.Table{Columns: []table.Column{{Title: "folder"}, {Title: "files"}, {Title: "devices"}, {Title: "from"}, {Title: "at"}, {Title: "commit"}}}
	t.Add(table.Text(a.into), table.Count(a.count), table.Count(len(a.devices)), table.Text(out.From), table.Text(out.At), table.Text(a.commit))
	said := answer{JSON: out, CSV: t, Above: []string{
		fmt.Sprintf("%s: %s about %s, %s to %s", a.into, counted(a.count, "file"), counted(len(a.devices), "device"), a.from, out.At),
		"open " + path.Join(a.into, "index.html") + `; "sha256sum --check --quiet SHA256SUMS" in the folder proves it unchanged`,
	}}
	if a.commit != "" {
		said.Above = append(said.Above, "the same bytes again: "+commandLine(out.Command))
	}
	for _, c := range a.cautions {
		said.Below = append(said.Below, "caution: "+c)
	}
	return said
}
