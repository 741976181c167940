package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/growth"
)

// growthOptions are the flags of growth.
type growthOptions struct {
	level, coverage  *parsed[float64]
	instant          instantFlags
	csv, path, value *string
	constant         *parsed[quantity.Length]
	slope, mpe       *parsed[quantity.MPE]
}

func newGrowthCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use: "growth DEVICE [FLAGS]\n" +
			"growth --csv FILE --path NAME --error NAME --mpe LIMIT [FLAGS]",
		Short: "whether errors grow with the path as their limit claims",
		Long: "A limit such as 25 µm + 50 µm/m claims a constant and a growth. From errors over different paths, growth estimates what the " +
			"device does of that form: the line of the signed errors, whose slope is a scale error that a correction would take off; the " +
			"spread about it, a constant and a growth that no correction takes off; and the bound of the claimed form that 95 % of further " +
			"errors stay within. Line and spread are fitted together by restricted maximum likelihood. It says whether the paths are " +
			"different enough to speak about the growth at all.\n\n" +
			"For a device, the checks since its last adjustment or repair count, for each limit that grows with a length: the mean error of " +
			"each reading, by every procedure and with every artifact.\n\n" +
			"With --csv it needs no records. Paths are metres and errors micrometres, unless the column's name ends with another unit of " +
			"length, as path_mm does.",
		Example: `  plumbrule growth scan-02

  # without records
  plumbrule growth --csv paths.csv --path path_m --error error_um \
    --mpe "25 µm + 50 µm/m"

  # the points of the funnel, for a drawing
  plumbrule growth --csv paths.csv --path path_m --error error_um \
    --constant "25 µm" --slope "50 µm/m" --format json`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "estimated, or said why it cannot be",
			"2", "there is no such device, or a value is missing or cannot be used",
			"3", "the records or the file cannot be read or used",
		), "drift", "chart", "decide"),
	}
	o := &growthOptions{}
	f := flagsOf(cmd)
	f.head("What is asked for")
	o.level = levelFlag(f, "the two-sided `LEVEL` of the intervals; 0.95 if not given")
	o.coverage = readFlag(f, "coverage", "the `SHARE` of further errors that the bound holds; 0.95 if not given", numberWithin(0.5, 0.9999, "a share from 0.5 to 0.9999"))
	o.coverage.value = 0.95
	f.head("From the records")
	o.instant = f.instant()
	f.head("Without records")
	o.csv = f.text("csv", "the `FILE` with one error a row, comma, semicolon or tab separated below a header row; - for standard input")
	o.path = f.text("path", "the `NAME` of the column with the paths")
	o.value = f.text("error", "the `NAME` of the column with the errors and their signs")
	o.mpe = readFlag(f, "mpe", "the claim as a `LIMIT` such as \"25 µm + 50 µm/m\"", quantity.ParseMPE)
	o.constant = f.length("constant", "the claimed constant, a `LENGTH`, in place of --mpe")
	o.slope = readFlag(f, "slope", "the claimed `GROWTH`, such as \"50 µm/m\", in place of --mpe", growthAlone)
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		calculated := *o.csv != "" || *o.path != "" || *o.value != "" || o.mpe.given() || o.constant.given() || o.slope.given()
		switch {
		case len(args) > 1:
			return noOperands(cmd, args[1:])
		case calculated && (len(args) == 1 || o.instant.given()):
			return misused("flags of both the records and the calculator", "name a device of the records, or --csv, --path, --error and --mpe")
		case calculated:
			return o.printFile(e, cmd)
		case len(args) == 0:
			return misused("neither a device nor --csv, expected whose errors to look at", `name a device of the records, or a file, for example --csv paths.csv --path path_m --error error_um --mpe "25 µm + 50 µm/m"`)
		}
		return o.printDevice(e, cmd, args[0])
	}
	return cmd
}

// growthAlone reads the growing part of a limit.
func growthAlone(text string) (quantity.MPE, error) {
	m, err := quantity.ParseMPE(text)
	if _, capped := m.Bound(); err == nil && (capped || m.Constant().Micrometres() != 0 || !m.GrowsWithLength()) {
		return m, &failure{what: fmt.Sprintf("%q, expected a length per length and nothing else", text), mend: `write it as "50 µm/m", and the rest as --constant`}
	}
	return m, err
}

func (o *growthOptions) settings() growth.Settings {
	return growth.Settings{Level: o.level.value, Coverage: o.coverage.value}
}

// claim returns what the flags claim.
func (o *growthOptions) claim() (growth.Claim, string, error) {
	switch {
	case o.mpe.given() && (o.constant.given() || o.slope.given()):
		return growth.Claim{}, "", misused("--mpe beside --constant or --slope, expected one way to the claim", "leave out --mpe, or the other two")
	case o.mpe.given():
		m := o.mpe.value
		if bound, capped := m.Bound(); capped {
			return growth.Claim{}, "", misused(fmt.Sprintf("--mpe %s is capped at %s, expected a constant and a growth", m, bound), "leave the cap out, and paths beyond it")
		}
		return growth.Claim{ConstantUM: m.Constant().Micrometres(), PerMetreUM: m.SlopePerMetre()}, m.String(), nil
	case !o.constant.given() || !o.slope.given():
		return growth.Claim{}, "", misused("no --mpe, expected the claim that errors are looked at beside", `state it as the maker does, for example --mpe "25 µm + 50 µm/m"`)
	}
	return growth.Claim{ConstantUM: o.constant.value.Micrometres(), PerMetreUM: o.slope.value.SlopePerMetre()}, o.constant.value.String() + " + " + o.slope.value.String(), nil
}

// grown is an estimate with what it is about.
type grown struct {
	growth.Growth
	claim   growth.Claim
	what    string // "scan-02, distance" or the file
	words   string // the claim as stated
	why     string // why there is no estimate; empty: there is
	notes   []string
	checked []rules.PathCheck // of each point; nil without records
	o       *growthOptions
}

func (o *growthOptions) printDevice(e *env, cmd *cobra.Command, id string) error {
	j, err := e.judge(cmd.Context(), o.instant)
	if err != nil {
		return err
	}
	if _, err := j.choose([]string{id}); err != nil {
		return err
	}
	all, err := rules.PathGrowthsOf(j.set, j.at, j.options, id, o.settings())
	if err != nil {
		return unreadable(id+": "+err.Error(), "", err)
	}
	out := deviceGrowth{judged: j, id: id, o: o}
	for _, g := range all {
		one := grown{
			Growth: g.Growth, claim: growth.Claim{ConstantUM: g.Limit.MPE.Constant().Micrometres(), PerMetreUM: g.Limit.MPE.SlopePerMetre()},
			what: fmt.Sprintf("%s, %s", id, g.Limit.Quantity), words: g.Limit.MPE.String(), why: g.Why, checked: g.Checks, o: o,
		}
		if g.Since.File != "" {
			one.notes = append(one.notes, "Only checks since the last adjustment or repair count ("+placeText(g.Since)+").")
		}
		if g.Averaged > 0 {
			one.notes = append(one.notes, fmt.Sprintf("%d of %s are means of several values; a single value scatters more than the bound says.", g.Averaged, counted(len(g.Checks), "error")))
		}
		out.limits = append(out.limits, limitGrowth{g, one})
	}
	if err := e.print(formatOf(cmd), out.answer()); err != nil {
		return err
	}
	return j.invalid()
}

func (o *growthOptions) printFile(e *env, cmd *cobra.Command) error {
	switch "" {
	case *o.csv:
		return misused("no --csv, expected the file with the errors", "name it, or - for standard input")
	case *o.path:
		return misused("no --path, expected the name of the column with the paths", "give the name that stands in the header row, for example --path path_m")
	case *o.value:
		return misused("no --error, expected the name of the column with the errors", "give the name that stands in the header row, for example --error error_um")
	}
	claim, words, err := o.claim()
	if err != nil {
		return err
	}
	checks, err := o.read(e)
	if err != nil {
		return err
	}
	g, err := growth.Estimate(checks, claim, o.settings())
	if err != nil {
		what, mend, _ := strings.Cut(err.Error(), "; ")
		return unreadable(inputName(*o.csv)+": "+what, mend, err)
	}
	one := grown{Growth: g, claim: claim, what: inputName(*o.csv), words: words, o: o}
	return e.print(formatOf(cmd), one.answer())
}

// read reads one check a row.
func (o *growthOptions) read(e *env) ([]growth.Check, error) {
	c, err := e.openColumns(*o.csv)
	if err != nil {
		return nil, err
	}
	path, err := c.find("--path", *o.path)
	if err != nil {
		return nil, err
	}
	errorAt, err := c.find("--error", *o.value)
	if err != nil {
		return nil, err
	}
	pathUnit, errorUnit := unitInName(*o.path, quantity.Metres(1)), unitInName(*o.value, quantity.Micrometres(1))
	var checks []growth.Check
	err = c.each(func(row []string) error {
		length, err := c.number(row, path)
		if err != nil {
			return err
		}
		value, err := c.number(row, errorAt)
		if err != nil {
			return err
		}
		check := growth.Check{PathM: length * pathUnit.Metres(), ErrorUM: value * errorUnit.Micrometres()}
		if length <= 0 {
			return c.at(path, fmt.Sprintf("a path of %s, expected one above 0", strings.TrimSpace(row[path])), "state the length that the limit counts")
		}
		checks = append(checks, check)
		return nil
	})
	if err == nil && len(checks) == 0 {
		err = c.empty(path)
	}
	return checks, err
}

// unitInName returns the unit of length that a column's name ends with, as in path_mm, "path (mm)" and "path [mm]", or the one
// that holds without.
func unitInName(name string, without quantity.Length) quantity.Length {
	at := strings.LastIndexAny(name, "_([ ")
	if at < 0 {
		return without
	}
	unit, err := quantity.ParseLength("1 " + strings.TrimRight(name[at+1:], ")]"))
	if err != nil {
		return without
	}
	return unit
}
