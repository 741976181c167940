package main

import (
	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records"
)

// completeDevices offers the ids of the repository's devices, with their kind, to a shell's completion.
func (e *env) completeDevices(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	dir, err := cmd.Flags().GetString("directory")
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	r, err := repository.Find(e.path(dir))
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	set, _ := records.Load(r.FS(), records.Options{})
	var out []string
	for _, id := range set.DeviceIDs() {
		text := show.Text(id)
		if d := set.Devices[id]; d != nil {
			text += "\t" + show.Text(d.Kind)
		}
		out = append(out, text)
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}
