package main

import (
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

func newVersionCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:         "version",
		Short:       "say which program this is and what it was built from",
		Example:     "  plumbrule version\n  plumbrule version --format json",
		GroupID:     groupProgram,
		Args:        noOperands,
		Annotations: seeAlso(statuses("0", "the version was printed"), "validate"),
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		info, _ := debug.ReadBuildInfo()
		return e.print(formatOf(cmd), edition(info).answer())
	}
	return cmd
}

// versionJSON is what version prints as JSON. Empty strings stand for what the build did not tell.
type versionJSON struct {
	Version      string       `json:"version"`
	Revision     string       `json:"revision"`
	RevisionTime string       `json:"revision_time"`
	Modified     bool         `json:"modified"`
	Go           string       `json:"go"`
	Platform     string       `json:"platform"`
	RecordFormat int          `json:"record_format"`
	TimeZones    string       `json:"time_zones"`
	Modules      []moduleJSON `json:"modules"`
}

type moduleJSON struct {
	Path    string `json:"path"`
	Version string `json:"version"`
}

// edition reads what the build has told; info may be nil.
func edition(info *debug.BuildInfo) versionJSON {
	v := versionJSON{Version: "unknown", RecordFormat: records.Format, TimeZones: calendar.ZoneEdition(), Modules: []moduleJSON{}}
	if info == nil {
		return v
	}
	v.Go = info.GoVersion
	if info.Main.Version != "" {
		v.Version = strings.Trim(info.Main.Version, "()") // (devel) of a build without a version
	}
	settings := map[string]string{}
	for _, s := range info.Settings {
		settings[s.Key] = s.Value
	}
	v.Revision, v.RevisionTime, v.Modified = settings["vcs.revision"], settings["vcs.time"], settings["vcs.modified"] == "true"
	v.Platform = strings.Trim(settings["GOOS"]+"/"+settings["GOARCH"], "/")
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		v.Modules = append(v.Modules, moduleJSON{m.Path, m.Version})
	}
	slices.SortFunc(v.Modules, func(a, b moduleJSON) int { return strings.Compare(a.Path, b.Path) })
	return v
}

func (v versionJSON) answer() answer {
	t := table.Table{Columns: []table.Column{{Title: "part"}, {Title: "version"}}}
	t.Add(table.Text("plumbrule"), table.Text(v.Version))
	if v.Revision != "" {
		revision := v.Revision
		if v.Modified {
			revision += ", modified"
		}
		t.Add(table.Text("revision"), table.Text(revision))
		t.Add(table.Text("revision time"), table.Text(v.RevisionTime))
	}
	t.Add(table.Text("record format"), table.Count(v.RecordFormat))
	t.Add(table.Text("time zones"), table.Text(v.TimeZones))
	t.Add(table.Text("Go"), table.Text(v.Go))
	if v.Platform != "" {
		t.Add(table.Text("platform"), table.Text(v.Platform))
	}
	for _, m := range v.Modules {
		t.Add(table.Text(m.Path), table.Text(m.Version))
	}
	return answer{JSON: v, CSV: t, Table: t}
}
