package main

import (
	"errors"
	"fmt"
	"runtime"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
	"plumbrule/rules/budget/worksheet"
	"plumbrule/rules/figure"
)

// budgetOptions are the flags of budget.
type budgetOptions struct {
	probability, k        *parsed[float64]
	order, digits, trials *parsed[int]
	seed                  *parsed[int]
	adaptive, explain     *bool
	strict                *bool
}

// The numbers of trials where none is given: a fixed one, and the most of the adaptive procedure.
const (
	defaultTrials  = 1_000_000
	adaptiveTrials = 10_000_000
)

// validationTolerance is how much finer than the tolerance of a comparison the trials compared with are to be: a fifth, JCGM
// 101:2008 8.2, from memory.
const validationTolerance = 0.2

func newBudgetCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "budget FILE [FLAGS]",
		Short: "evaluate an uncertainty budget by the GUM and by Monte Carlo",
		Long: "Reads a budget from a TOML file (- for standard input) and gives the value, its combined and expanded uncertainty and what each input adds " +
			"to it: by the law of propagation of uncertainty (JCGM 100, the GUM), with sensitivities from formulas, and by Monte Carlo " +
			"trials (JCGM 101), which show whether the first is good enough. It needs no records.\n\n" +
			"The file has title, unit, expression, and a table [[input]] for each input with name, unit and its uncertainty, stated in one of these ways:\n\n" +
			statementTexts() + "\n\n" +
			"Where degrees of freedom are known, degrees-of-freedom or known-to (the fraction by which an uncertainty may itself be off) says so. " +
			"Further tables: [[correlation]] with between and coefficient; [[where]] with name and expression, for a part of the expression that " +
			"deserves a name. Further keys: measurand, probability or k, order, result-law, note; an input may name its source.\n\n" +
			"An expression has numbers, names, + - * / ^, brackets, pi, and the functions " + functionNames() + ", angles in radian. " +
			"Units are printed and not reckoned with: figures must be in units that go together.\n\n" +
			"The same file, seed and number of trials give the same figures. A trial without a value, such as a division by zero, ends the verb: " +
			"no trial is left out.",
		Example: `  plumbrule budget budgets/ball-bar.toml
  plumbrule budget budgets/ball-bar.toml --k 2 --explain

  # with terms of second order, and as many trials as one digit needs
  plumbrule budget budgets/ball-bar.toml --order 2 --adaptive --digits 1

  # for a program
  plumbrule budget budgets/block-stack.toml --seed 7 --format json`,
		GroupID: groupReckon,
		Args:    oneFile,
		Annotations: seeAlso(statuses(
			"0", "evaluated",
			"1", "with --strict: Monte Carlo does not bear out the expanded uncertainty, or cannot tell",
			"2", "a flag cannot be used",
			"3", "the file cannot be read, or says something that cannot be evaluated",
		), "decide", "repeatability", "summary"),
	}
	var o budgetOptions
	f := flagsOf(cmd)
	f.head("How the uncertainty is expressed")
	o.probability = readFlag(f, "probability", "the coverage `PROBABILITY`, such as \"95 %\", in place of what the file says", worksheet.ParsePercent)
	o.k = f.number("k", "the coverage `FACTOR`, in place of what the file says", above0)
	o.order = f.whole("order", "take in Taylor terms up to this `ORDER`, 1 or 2, in place of what the file says", 1, 1, 2)
	o.digits = f.whole("digits", "print uncertainties with this `NUMBER` of significant digits, and compare with trials as finely, 1 or 2; 2 if not given", 2, 1, 2)
	o.explain = f.yes("explain", "show formulas, figures and sources behind the result")
	f.head("Monte Carlo")
	o.trials = f.whole("trials", fmt.Sprintf("make this `NUMBER` of trials; %d if not given, 0 for none", defaultTrials), defaultTrials, 0, 1<<31-1)
	o.adaptive = f.yes("adaptive", fmt.Sprintf("make as many trials as it takes for figures stable to a fifth of the last digit's tolerance, at most --trials (%d if not given)", adaptiveTrials))
	o.seed = f.whole("seed", "begin the random numbers at this `NUMBER`, 0 or more; 1 if not given", 1, 0, 1<<31-1)
	f.head("Result")
	o.strict = f.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		b, err := o.evaluate(e, args[0])
		if err != nil {
			return err
		}
		if err := e.print(formatOf(cmd), b.answer(*o.explain, e.width())); err != nil {
			return err
		}
		return attention(*o.strict, b.validation == nil || b.validation.Verdict != montecarlo.Validated)
	}
	return cmd
}

func oneFile(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return misused("no FILE, expected the budget to evaluate", "name a TOML file, or - for standard input")
	case 1:
		return nil
	}
	return misused(fmt.Sprintf("%q is one word too many for %s, expected one file", args[1], cmd.CommandPath()), "evaluate one budget at a time")
}

// budgeted is a budget with all that was found out about it.
type budgeted struct {
	file   string
	sheet  *worksheet.Sheet
	result propagation.Result
	digits int

	trials       *montecarlo.Result // nil: none, and whyNone says why
	whyNone      string
	seed         int
	adaptive     bool
	validation   *montecarlo.Validation // nil: none, and whyNoVerdict says why
	whyNoVerdict string
}

func (o *budgetOptions) evaluate(e *env, file string) (*budgeted, error) {
	name, text, err := e.readInput(file)
	if err != nil {
		return nil, err
	}
	sheet, faults := worksheet.Read(text)
	if len(faults) > 0 {
		return nil, e.faulty(name, faults...)
	}
	b := &budgeted{file: name, sheet: sheet, digits: o.digits.value, seed: o.seed.value, adaptive: *o.adaptive}
	if err := o.override(&sheet.Budget); err != nil {
		return nil, err
	}
	if b.result, err = sheet.Budget.Evaluate(); err != nil {
		return nil, o.refused(e, b, err)
	}
	if err := o.try(b); err != nil {
		return nil, o.refused(e, b, err)
	}
	return b, nil
}

// override lets flags take the place of what the file says.
func (o *budgetOptions) override(b *propagation.Budget) error {
	c := &b.Coverage
	switch {
	case *o.adaptive && o.trials.value == 0:
		return misused("--adaptive beside --trials 0, expected trials", "leave one out")
	case o.probability.given() && o.k.given():
		return misused("--probability beside --k, expected one of them", "the other follows from it")
	case o.k.given() && c.Law != "" && c.Law != propagation.ByStudent:
		return misused(fmt.Sprintf("--k for a file whose result-law is %q, expected a probability", c.Law), "give --probability, or take result-law out of the file")
	case o.k.given():
		c.Probability, c.Factor = 0, o.k.value
	case o.probability.given():
		if !(o.probability.value >= 0.5 && o.probability.value <= 0.9999) {
			return misused(fmt.Sprintf("--probability: %q, expected 50 %% to 99.99 %%", o.probability.text), "95 % is common")
		}
		c.Probability, c.Factor = o.probability.value, 0
	}
	if o.order.given() {
		b.Order = o.order.value
	}
	return nil
}

// try makes the trials and compares. Correlated inputs that are not normal are no mistake: there are no trials then.
func (o *budgetOptions) try(b *budgeted) error {
	b.whyNoVerdict = "there are no trials to compare with"
	if o.trials.given() && o.trials.value == 0 {
		b.whyNone = "not asked for"
		return nil
	}
	run := montecarlo.Options{Trials: o.trials.value, Seed: uint64(b.seed), Probability: b.intervalProbability(), Workers: runtime.GOMAXPROCS(0)}
	if *o.adaptive {
		run.Digits, run.Tolerance = b.digits, validationTolerance
		if !o.trials.given() {
			run.Trials = adaptiveTrials
		}
	}
	if err := montecarlo.CheckTrials(run.Trials, run.Probability); err != nil {
		return err
	}
	p, err := montecarlo.Prepare(&b.sheet.Budget)
	if refusal, is := errors.AsType[*montecarlo.NotNormalError](err); is {
		b.whyNone = refusal.Error()
		return nil
	} else if err != nil {
		return err
	}
	r, err := p.Run(run)
	if err != nil {
		return err
	}
	b.trials = &r
	b.compare()
	return nil
}

// intervalProbability is that of ±U; where there is none, or one that trials cannot show, 95 %.
func (b *budgeted) intervalProbability() float64 {
	if p := b.result.CoverageProbability.Value; p != nil && *p >= 0.5 && *p <= 0.9999 {
		return *p
	}
	return worksheet.DefaultProbability
}

func (b *budgeted) compare() {
	switch r := &b.result; {
	case r.ExpandedU.Value == nil:
		b.whyNoVerdict = "there is no expanded uncertainty: " + r.ExpandedU.Reason
	case r.CoverageProbability.Value == nil:
		b.whyNoVerdict = "the coverage probability of ±U is not known: " + r.CoverageProbability.Reason
	case *r.CoverageProbability.Value != b.trials.Probability:
		b.whyNoVerdict = "±U has a probability that trials cannot show, " + percent(*r.CoverageProbability.Value)
	case r.CombinedU == 0:
		b.whyNoVerdict = "u_c is 0 and has no digits to compare by"
	default:
		v := b.trials.Validate(r.Value, r.CombinedU, *r.ExpandedU.Value, b.digits)
		b.validation, b.whyNoVerdict = &v, ""
	}
}

// refused places an error of the evaluation: in the file, or at the flag it came from.
func (o *budgetOptions) refused(e *env, b *budgeted, err error) error {
	if failure, is := errors.AsType[*montecarlo.FailureError](err); is {
		f, _ := b.sheet.Place(failure.Fault)
		f.Message = "Monte Carlo: " + failure.Error()
		f.Mend = "state the inputs so that the model has a value wherever they may lie; --trials 0 gives the law of propagation alone"
		return e.faulty(b.file, f)
	}
	input, is := errors.AsType[*figure.InputError](err)
	if is && (input.Field != "order" || o.order.given()) {
		for _, flag := range []string{"trials", "adaptive", "order"} {
			if input.Field == flag {
				return misused(fmt.Sprintf("--%s is %s, expected %s", flag, input.Found, input.Expected), input.Mend)
			}
		}
	}
	if f, ok := b.sheet.Place(err); ok {
		return e.faulty(b.file, f)
	}
	return unreadable(b.file+": "+err.Error(), "", err)
}

func statementTexts() string {
	var out []string
	for _, s := range worksheet.Statements() {
		keys := append([]string{s.Lead}, s.Needs...)
		out = append(out, strings.Join(keys, " + ")+": "+s.Text)
	}
	return strings.Join(out, "\n\n")
}

func functionNames() string {
	var out []string
	for _, f := range expression.Functions() {
		out = append(out, f.Name)
	}
	return strings.Join(out, " ")
}
