package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"plumbrule/records/quantity"

	"plumbrule/records/spelling"
)

// flagError puts a mistake in the flags into words of our own.
func flagError(cmd *cobra.Command, err error) error {
	var (
		unknown *pflag.NotExistError
		noValue *pflag.ValueRequiredError
		value   *pflag.InvalidValueError
	)
	help := fmt.Sprintf("%q lists the flags", strings.TrimSpace("plumbrule help "+verbName(cmd)))
	switch {
	case errors.As(err, &unknown):
		// Before a verb is known, its flags are not either: the verb is the mistake.
		if !cmd.HasParent() && cmd.Flags().NArg() > 0 {
			return unknownVerb(cmd, cmd.Flags().Arg(0))
		}
		return unknownFlag(cmd, unknown, help)
	case errors.As(err, &noValue):
		return misused(dashed(noValue.GetFlag(), noValue.GetSpecifiedName())+" without a value, expected one", help)
	case errors.As(err, &value):
		what, mend := mistake(value.Unwrap())
		return misused(dashed(value.GetFlag(), "")+": "+what, mend)
	}
	return misused(err.Error(), help)
}

func unknownFlag(cmd *cobra.Command, unknown *pflag.NotExistError, help string) error {
	name := unknown.GetSpecifiedName()
	if shorts := unknown.GetSpecifiedShortnames(); shorts != "" {
		mend := help
		if len(shorts) > 1 {
			mend = "a flag of more than one letter has two dashes; " + help
		}
		return misused(fmt.Sprintf("no flag -%s in %s", shorts, cmd.CommandPath()), mend)
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near := spelling.Nearest(name, names); near != "" {
		help = fmt.Sprintf("did you mean --%s? %s", near, help)
	}
	return misused(fmt.Sprintf("no flag --%s in %s", name, cmd.CommandPath()), help)
}

func dashed(f *pflag.Flag, short string) string {
	if f == nil {
		return "--" + short
	}
	if len(short) == 1 {
		return "-" + short
	}
	return "--" + f.Name
}

func verbName(cmd *cobra.Command) string {
	if !cmd.HasParent() {
		return ""
	}
	return strings.TrimPrefix(cmd.CommandPath(), "plumbrule ")
}

// mistake returns what is wrong with a value and what would mend it.
func mistake(err error) (what, mend string) {
	var (
		q *quantity.Error
		f *failure
	)
	switch {
	case errors.As(err, &q):
		// The value is quoted as a whole where the complaint names a part of it only.
		if q.Text != "" && !strings.Contains(q.Found, strconv.Quote(q.Text)) {
			return fmt.Sprintf("%q has %s", q.Text, q.Error()), q.Mend
		}
		return q.Error(), q.Mend
	case errors.As(err, &f):
		return f.what, f.mend
	}
	return err.Error(), ""
}
