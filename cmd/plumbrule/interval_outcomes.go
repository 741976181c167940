package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/rules/interval"
)

// listed are the outcomes of a file with what follows from them.
type listed struct {
	o        *intervalOptions
	file     string
	outcomes []interval.Outcome
	shares   []interval.Proportion // of the groups
	fit      interval.Fit
	target   interval.TargetInterval
	runs     []staircaseRun
	reviews  []proposed
}

// staircaseRun is what the staircase makes of the outcomes of one subject, each interval following from the one before.
type staircaseRun struct {
	subject  string
	outcomes []interval.Outcome
	steps    []interval.Proposal
}

func (o *intervalOptions) printOutcomes(e *env, cmd *cobra.Command) error {
	l := listed{o: o, file: inputName(*o.outcomes)}
	ratios, err := l.read(e)
	if err != nil {
		return err
	}
	if l.fit, err = interval.FitExponential(interval.Groups(l.outcomes)); err != nil {
		return refusedOutcomes(l.file, err)
	}
	if l.target, err = l.fit.IntervalFor(o.target.value, o.level.value); err != nil {
		return err
	}
	for _, g := range l.fit.Groups {
		share, err := interval.ClopperPearson(g.InTolerance, g.Trials, o.level.value)
		if err != nil {
			return err
		}
		l.shares = append(l.shares, share)
	}
	if ratios {
		if err := l.climb(); err != nil {
			return err
		}
	}
	if err := l.review(); err != nil {
		return err
	}
	return e.print(formatOf(cmd), l.answer())
}

// read reads one outcome a row, and tells whether there is a column of ratios.
func (l *listed) read(e *env) (ratios bool, err error) {
	c, err := e.openColumns(*l.o.outcomes)
	if err != nil {
		return false, err
	}
	months, err := c.find("", "months")
	if err != nil {
		return false, err
	}
	passed, err := c.find("", "passed")
	if err != nil {
		return false, err
	}
	subject, err := c.has("subject")
	if err != nil {
		return false, err
	}
	ratio, err := c.has("ratio")
	if err != nil {
		return false, err
	}
	err = c.each(func(row []string) error {
		var out interval.Outcome
		if out.Months, err = c.number(row, months); err != nil {
			return err
		}
		if out.Months < 0.01 || out.Months > 1200 {
			return c.at(months, fmt.Sprintf("%q, expected a number of months from 0.01 to 1200", row[months]), "check the unit")
		}
		var known bool
		if out.InTolerance, known = yesOrNo(row[passed]); !known {
			return c.at(passed, fmt.Sprintf("%q, expected yes or no, true or false, 1 or 0", strings.TrimSpace(row[passed])), "")
		}
		if subject >= 0 {
			if out.Subject, err = c.text(row, subject); err != nil {
				return err
			}
		}
		if ratio >= 0 && strings.TrimSpace(row[ratio]) != "" {
			size, err := c.number(row, ratio)
			if err != nil {
				return err
			}
			if size < 0 || size > 1e100 {
				return c.at(ratio, fmt.Sprintf("%q, expected |error|/MPE, a number of 0 or more", row[ratio]), "leave out the sign")
			}
			out.Ratio = &size
		}
		l.outcomes = append(l.outcomes, out)
		return nil
	})
	if err == nil && len(l.outcomes) == 0 {
		err = c.empty(months)
	}
	return ratio >= 0, err
}

func yesOrNo(text string) (yes, known bool) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "yes", "true", "1":
		return true, true
	case "no", "false", "0":
		return false, true
	}
	return false, false
}

// subjects names those of the outcomes, in the order in which they come.
func (l *listed) subjects() (names []string) {
	for _, o := range l.outcomes {
		if !slices.Contains(names, o.Subject) {
			names = append(names, o.Subject)
		}
	}
	return names
}

// climb runs the staircase through the outcomes of each subject in the order of the rows. The first interval is the one that
// ended with the first of them.
func (l *listed) climb() error {
	for _, subject := range l.subjects() {
		run := staircaseRun{subject: subject}
		current := 0.0
		for _, o := range l.outcomes {
			if o.Subject != subject {
				continue
			}
			if len(run.steps) == 0 {
				current = o.Months
			}
			p, err := l.o.staircase().Next(current, o)
			if err != nil {
				return unreadable(l.file+": the staircase left what can be an interval: "+err.Error(), "list fewer outcomes, or other factors", err)
			}
			current = *p.ProposedMonths
			run.outcomes, run.steps = append(run.outcomes, o), append(run.steps, p)
		}
		l.runs = append(l.runs, run)
		l.reviews = append(l.reviews, proposed{Proposal: run.steps[len(run.steps)-1], of: subjectKind(subject)})
	}
	return nil
}

// review compares the outcomes with the target, all together and of each subject, if a current interval was given.
func (l *listed) review() error {
	if !l.o.months.given() {
		return nil
	}
	months := l.o.months.value
	if subjects := l.subjects(); len(subjects) > 1 {
		for _, subject := range subjects {
			p, err := l.o.plan().Device(subject, months, l.outcomes)
			if err != nil {
				return refusedOutcomes(l.file, err)
			}
			l.reviews = append(l.reviews, proposed{Proposal: p, of: subjectKind(subject)})
		}
	}
	p, err := l.o.plan().Kind("", months, l.outcomes)
	if err != nil {
		return refusedOutcomes(l.file, err)
	}
	l.reviews = append(l.reviews, proposed{Proposal: p, of: "all"})
	return nil
}

func subjectKind(subject string) string {
	if subject == "" {
		return "all"
	}
	return "device"
}

// factor writes a factor as people say it.
func factor(value float64) string { return "×" + strconv.FormatFloat(value, 'g', -1, 64) }
