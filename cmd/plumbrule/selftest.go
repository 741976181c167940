package main

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

func newSelftestCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "selftest [--page FILE]",
		Short: "compute published check values and compare: how was this program validated?",
		Long: "Computes the check values that are built into the program, by the same rules that judge records, and compares each with what " +
			"standards, guides, handbooks and data sets have published: ISO/IEC 17025:2017, 7.11.2. Says which program it is (version, revision, " +
			"SHA-256 of the executable file, time zone data), and for each check value its source, what was computed, the difference, the tolerance and the " +
			"result. Parts of the program without any check value are named.\n\n" +
			"A value agrees when it differs by no more than half a unit of the last digit that the source prints, unless another tolerance is stated with its " +
			"reason. Words, dates and lists must come out as they stand. Trials by chance have a fixed seed, so that two runs of one program on one " +
			"kind of machine print the same bytes.\n\n" +
			"With --page the same is written as a page for the file of the laboratory: it needs nothing else, prints on A4, and leaves room for " +
			"who ran it and who accepted it.",
		Example: `  plumbrule selftest

  # for the records of the laboratory, and for a script
  plumbrule selftest --page validation.html
  plumbrule selftest --format csv > validation.csv`,
		GroupID: groupProgram,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "every check value agrees",
			"1", "one does not, or could not be computed",
			"3", "the page cannot be written",
		), "version", "validate"),
	}
	f := flagsOf(cmd)
	file := f.text("page", "also write the result to this `FILE` as a page (HTML) that prints")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		groups, err := published.Groups()
		if err != nil {
			return err
		}
		return e.selftest(formatOf(cmd), *file, groups)
	}
	return cmd
}

// selftest compares the figures of the groups and prints the result, also to a page if one is named. That a figure does not
// agree needs no flag to be told by the exit status: nothing that this program says could be trusted then.
func (e env) selftest(f format, page string, groups []published.Group) error {
	info, _ := debug.ReadBuildInfo()
	t := selftested{results: selftest.Run(groups), program: edition(info)}
	t.sha256, t.whyNone = e.fingerprint()
	if page != "" {
		if err := e.writeOutput(page, t.page); err != nil {
			return err
		}
	}
	if err := e.print(f, t.answer()); err != nil {
		return err
	}
	return attention(true, !selftest.Passed(t.results))
}

// selftested is what a selftest found, and of which program.
type selftested struct {
	results []selftest.Result
	program versionJSON
	sha256  string // of the executable file, in hexadecimal; empty if whyNone says why
	whyNone string
}

// agree counts the check values that agree.
func (t *selftested) agree() (n int) {
	for _, r := range t.results {
		if r.Agrees {
			n++
		}
	}
	return n
}

// fingerprint returns the SHA-256 of the file that the program runs from, or why there is none.
func (e env) fingerprint() (sum, whyNone string) {
	if e.Executable == nil {
		return "", "it is not known which file the program runs from"
	}
	file, err := e.Executable()
	if err != nil {
		return "", "the file of the program cannot be read: " + plainCause(err)
	}
	defer file.Close() //nolint:errcheck // it was only read
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		return "", "the file of the program cannot be read: " + plainCause(err)
	}
	return hex.EncodeToString(h.Sum(nil)), ""
}
