package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

func newCompletionCommand(root *cobra.Command, e *env) *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:     "completion bash|zsh|fish|powershell",
		Short:   "print a script that completes verbs, flags and device names",
		GroupID: groupProgram,
		Long:    "Load it from the start-up file of your shell. Names of devices are read from the records in the directory you are in, or at -C.",
		Example: "  plumbrule completion bash > plumbrule.bash",
		Annotations: statuses(
			"0", "the script was printed",
		),
		ValidArgs: shells,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused(counted(len(args), "word")+", expected one shell", "write "+either(shells))
			}
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(e.Stdout, true)
			case "zsh":
				return root.GenZshCompletion(e.Stdout)
			case "fish":
				return root.GenFishCompletion(e.Stdout, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(e.Stdout)
			}
			return misused(fmt.Sprintf("no completion for %q", args[0]), "write "+either(shells))
		},
	}
}
