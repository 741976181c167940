package main

import (
	"slices"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
)

// completeDevices offers the ids of the repository's devices, with their kind, to a shell's completion.
func (e *env) completeDevices(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	set := e.completing(cmd)
	if set == nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return offeredDevices(set), cobra.ShellCompDirectiveNoFileComp
}

// completeTraced offers first what can be traced by its id, then what it can be narrowed to.
func (e *env) completeTraced(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	set := e.completing(cmd)
	if set == nil || len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	if len(args) == 1 {
		return offeredFeatures(set, args[0]), cobra.ShellCompDirectiveNoFileComp
	}
	out := offeredDevices(set)
	for _, id := range sortedIDs(set.Artifacts) {
		out = append(out, show.Text(id)+"\t"+show.Text(set.Artifacts[id].Kind))
	}
	for _, j := range set.Jobs {
		out = append(out, show.Text(j.ID)+"\t"+show.Text(j.Title))
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}

// completing loads the records for a shell's completion; nil: there are none.
func (e *env) completing(cmd *cobra.Command) *records.Set {
	dir, err := cmd.Flags().GetString("directory")
	if err != nil {
		return nil
	}
	r, err := repository.Find(e.path(dir))
	if err != nil {
		return nil
	}
	set, _ := records.Load(r.FS(), records.Options{})
	return set
}

func offeredDevices(set *records.Set) []string {
	var out []string
	for _, id := range set.DeviceIDs() {
		text := show.Text(id)
		if d := set.Devices[id]; d != nil {
			text += "\t" + show.Text(d.Kind)
		}
		out = append(out, text)
	}
	return out
}

// offeredFeatures are the features of an artifact, or the quantities of a device or a job.
func offeredFeatures(set *records.Set, id string) []string {
	var out []string
	add := func(name string) {
		if text := show.Text(name); !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	if a := set.Artifacts[id]; a != nil {
		for i := range a.Features {
			add(a.Features[i].Name)
		}
	}
	if d := set.Devices[id]; d != nil {
		for i := range d.Limits {
			add(string(d.Limits[i].Quantity))
		}
	}
	for _, j := range set.Jobs {
		for i := range j.Measured {
			if j.ID == id {
				add(string(j.Measured[i].Quantity))
			}
		}
	}
	return out
}
