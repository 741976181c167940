package main

import (
	"context"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"plumbrule/records/spelling"
)

// The groups under which help lists the verbs.
const (
	groupDaily   = "daily"
	groupRecord  = "record"
	groupCloser  = "closer"
	groupReckon  = "reckon"
	groupProgram = "program"
)

// run executes one command line and returns the exit status. Everything it touches is in e.
func run(ctx context.Context, e env, args []string) int {
	root := newRoot(&e)
	root.SetArgs(args)
	return report(e.Stderr, root.ExecuteContext(ctx))
}

// newRoot builds the whole command; verbs share e, whose Dir the flag -C moves before a verb runs.
func newRoot(e *env) *cobra.Command {
	root := &cobra.Command{
		Use:   "plumbrule",
		Short: "what may be measured with today, on which evidence, and until when",
		Long: "Plumbrule keeps the calibration history of measuring equipment as plain text files and computes from " +
			"these files alone. The calculators need no records: give them values, and they answer by the same rules.",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownVerb(cmd, args[0])
			}
			return nil
		},
		RunE: func(*cobra.Command, []string) error {
			return misused("no verb, expected one", `"plumbrule help" lists the verbs`)
		},
		SilenceUsage:      true,
		SilenceErrors:     true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
	}
	root.SetIn(e.Stdin)
	root.SetOut(e.Stdout)
	root.SetErr(e.Stderr)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { writeHelp(e.Stdout, cmd, e.width()) })
	root.SetFlagErrorFunc(flagError)
	dir := root.PersistentFlags().StringP("directory", "C", ".", "`DIR` that holds the records; other paths begin there too")
	root.PersistentFlags().Var(newFormatFlag(), "format", "print as `FORMAT`: table, json, csv or markdown")
	root.PersistentFlags().BoolP("help", "h", false, "say what the verb does, with examples")
	root.PersistentPreRun = func(*cobra.Command, []string) { e.Dir = e.path(*dir) }

	root.AddGroup(
		&cobra.Group{ID: groupDaily, Title: "Every day"},
		&cobra.Group{ID: groupRecord, Title: "Recording"},
		&cobra.Group{ID: groupCloser, Title: "Looking closer"},
		&cobra.Group{ID: groupReckon, Title: "Calculators"},
		&cobra.Group{ID: groupProgram, Title: "This program"},
	)
	help := newHelpCommand(root)
	root.SetHelpCommand(help)
	inOrder(root,
		newStatusCommand(e), newDueCommand(e), newWatchCommand(e), newAlertsCommand(e), newChooseCommand(e), newPlanCommand(e), newImpactCommand(e), newValidateCommand(e),
		newInitCommand(e), newRecordCommand(e), newCardCommand(e),
		newExplainCommand(e), newTraceCommand(e), newAuditCommand(e), newDossierCommand(e), newHistoryCommand(e), newDiffCommand(e), newChartCommand(e), newIntervalCommand(e), newDriftCommand(e), newGrowthCommand(e),
		newDecideCommand(e), newBudgetCommand(e), newExtractCommand(e), newRouteCommand(e),
		newRepeatabilityCommand(e), newRunLengthCommand(e), newSummaryCommand(e), help, newSelftestCommand(e), newVersionCommand(e), newCompletionCommand(root, e),
	)
	return root
}

func unknownVerb(root *cobra.Command, name string) error {
	var names []string
	for _, verb := range root.Commands() {
		names = append(names, verb.Name())
	}
	mend := `"plumbrule help" lists the verbs`
	if near := spelling.Nearest(name, names); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return misused(strconv.Quote(name)+" is no verb of plumbrule", mend)
}

// noOperands refuses anything on the command line that is neither verb nor flag.
func noOperands(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return misused(fmt.Sprintf("%q is one word too many for %s, expected flags only", args[0], cmd.CommandPath()),
		"put a value with blanks in quotes, for example \"12 µm\"")
}
