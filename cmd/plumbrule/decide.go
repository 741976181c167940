package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records/quantity"
	"plumbrule/rules/budget"
	"plumbrule/rules/conformity"
)

// decideOptions are the flags of decide.
type decideOptions struct {
	errorGiven  *parsed[quantity.Length]
	reading     *parsed[quantity.Length]
	reference   *parsed[quantity.Length]
	alpha       *parsed[quantity.Expansion]
	alphaDevice *parsed[quantity.Expansion]
	temperature *parsed[quantity.Temperature]
	compensated *bool

	mpe      *parsed[quantity.MPE]
	length   *parsed[quantity.Length]
	oneSided *bool

	expanded *parsed[quantity.Length]
	k        *parsed[float64]

	rule   *parsed[conformity.Rule]
	strict *bool
}

func newDecideCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use: "decide --mpe LIMIT --error LENGTH [FLAGS]\n" +
			"decide --mpe LIMIT --reading LENGTH --reference LENGTH [FLAGS]",
		Short: "judge an error against its maximum permissible error",
		Long: "Decides by a named rule whether an error keeps its limit, and says with which probability the true error does. " +
			"The error is either given, or formed from a reading and the calibrated length at 20 °C (ISO 1): " +
			"E = y - r·(1 + (α - α_d)(T - 20 °C)). Nothing is rounded before the decision; an error on a limit counts as inside it.\n\n" +
			"The rules:\n\n" + ruleTexts(),
		Example: `  plumbrule decide --error "12 µm" --mpe "25 µm" --expanded "6 µm" --k 2

  # a limit that grows with the path travelled
  plumbrule decide --error "146 µm" --mpe "20 µm + 40 µm/m" --length "3.8 m"

  # proof at 95 %, from a reading of a steel bar at 21.4 °C
  plumbrule decide --reading "800.0310 mm" --reference "800.0150 mm" \
    --alpha 11.5e-6/K --temperature "21.4 °C" --mpe "65 µm" \
    --expanded "3.6 µm" --rule iso-14253-1`,
		GroupID: groupReckon,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "decided",
			"1", "with --strict: the verdict is not pass",
			"2", "a value is missing or cannot be used",
		), "chart", "due"),
	}
	var o decideOptions
	f := flagsOf(cmd)
	f.head("What is judged")
	o.errorGiven = f.length("error", "the error of indication with its sign, a `LENGTH` such as \"-58 µm\"")
	o.mpe = readFlag(f, "mpe", "the maximum permissible error, a `LIMIT` such as \"25 µm\", \"25 µm + 50 µm/m\", \"(25 + L/20) µm\" or \"min(25 µm + 50 µm/m, 120 µm)\"", quantity.ParseMPE)
	o.length = f.length("length", "the `LENGTH` that a growing limit counts, straight or along the path as the maker states it")
	o.oneSided = f.yes("one-sided", "the limit is an upper one only, as for a form error")
	f.head("An error formed from a reading")
	o.reading = f.length("reading", "the `LENGTH` that the device showed")
	o.reference = f.length("reference", "the calibrated `LENGTH` at 20 °C")
	o.alpha = readFlag(f, "alpha", "the artifact's `COEFFICIENT` of expansion, such as 11.5e-6/K", quantity.ParseExpansion)
	o.alphaDevice = readFlag(f, "alpha-device", "the `COEFFICIENT` of the device's material scale; 0/K, for none, if not given", quantity.ParseExpansion)
	o.temperature = readFlag(f, "temperature", "the artifact's `TEMPERATURE`, such as \"21.4 °C\"", quantity.ParseTemperature)
	o.compensated = f.yes("compensated", "the device has brought the reading to 20 °C itself")
	f.head("How it is judged")
	o.expanded = f.length("expanded", "the expanded uncertainty U of the test value, a `LENGTH`")
	o.k = readFlag(f, "k", "the coverage `FACTOR` of U; 2 if not given", readFactor)
	o.k.value = 2
	o.rule = readFlag(f, "rule", "the decision `RULE`: "+either(ruleNames())+"; simple if not given", oneOf(ruleWords()...))
	o.rule.value = conformity.Simple
	o.strict = f.strict()
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		d, err := o.decide()
		if err != nil {
			return inFlags(err)
		}
		if err := e.print(formatOf(cmd), d.answer()); err != nil {
			return err
		}
		return attention(*o.strict, d.Verdict != conformity.Pass)
	}
	return cmd
}

// decided is a decision with what led to its inputs.
type decided struct {
	conformity.Decision
	mpe            quantity.MPE
	length         quantity.Length
	coverageFactor *float64
	oneSided       bool
	fromReading    bool
	thermalShiftUM float64
}

func (o *decideOptions) decide() (decided, error) {
	d := decided{mpe: o.mpe.value, length: o.length.value, oneSided: *o.oneSided}
	if !o.mpe.given() {
		return d, misused("no --mpe, expected the limit to judge by", `state it as the maker does, for example --mpe "25 µm + 50 µm/m"`)
	}
	c := conformity.Case{Rule: o.rule.value, OneSided: *o.oneSided}
	var err error
	if c.ErrorUM, d.thermalShiftUM, d.fromReading, err = o.errorUM(); err != nil {
		return d, err
	}
	if c.MPEUM, err = o.mpe.value.At(o.length.value); errors.Is(err, quantity.ErrLengthNeeded) {
		return d, misused(fmt.Sprintf("no --length of zero or more, expected one because the limit %s grows with it", o.mpe.value),
			`state the length that the limit counts, the straight one or the path travelled, for example --length "2.6 m"`)
	} else if err != nil {
		return d, err
	}
	switch {
	case c.MPEUM == 0:
		return d, misused(fmt.Sprintf("the limit %s is 0 at the length %s, expected a limit above 0", o.mpe.value, o.length.value), "give the length that was measured or travelled as --length")
	case o.expanded.given():
		c.Uncertainty = &conformity.Uncertainty{ExpandedUM: o.expanded.value.Micrometres(), Factor: o.k.value}
		d.coverageFactor = &o.k.value
	case o.k.given():
		return d, misused("--k without --expanded, expected the uncertainty it belongs to", `add --expanded, for example --expanded "6 µm"`)
	}
	d.Decision, err = conformity.Decide(c)
	return d, err
}

// errorUM returns the error as given, or forms it from a reading; shiftUM is then what the temperature has added to it.
func (o *decideOptions) errorUM() (errorUM, shiftUM float64, formed bool, err error) {
	if o.errorGiven.given() {
		if part := o.readingPart(); part != "" {
			return 0, 0, false, misused("both --error and "+part+", expected one way to the error", "leave out --error to have it formed from the reading")
		}
		return o.errorGiven.value.Micrometres(), 0, false, nil
	}
	switch {
	case o.readingPart() == "":
		return 0, 0, true, misused("no --error, expected the error to judge", `state it, for example --error "12 µm", or give --reading and --reference`)
	case !o.reading.given() || !o.reference.given():
		return 0, 0, true, misused("one of --reading and --reference, expected both", "give the length shown and the calibrated length")
	case *o.compensated && (o.alpha.given() || o.alphaDevice.given() || o.temperature.given()):
		return 0, 0, true, misused("--compensated beside a temperature or a coefficient, expected one or the other", "leave out --compensated if the reading is as the device showed it")
	case !*o.compensated && (!o.alpha.given() || !o.temperature.given()):
		return 0, 0, true, misused("a reading without --alpha and --temperature, expected both because lengths are compared at 20 °C",
			"give both, or --compensated if the device has brought the reading to 20 °C itself")
	}
	alpha, alphaDevice, celsius := 0.0, 0.0, float64(budget.ReferenceCelsius)
	if !*o.compensated {
		alpha, celsius = o.alpha.value.PerKelvin(), o.temperature.value.Celsius()
		if o.alphaDevice.given() {
			alphaDevice = o.alphaDevice.value.PerKelvin()
		}
	}
	reading, reference := o.reading.value.Millimetres(), o.reference.value.Millimetres()
	if shiftUM, err = budget.ThermalShiftUM(reference, alpha, alphaDevice, celsius); err != nil {
		return 0, 0, true, err
	}
	errorUM, err = budget.ErrorUM(reading, reference, alpha, alphaDevice, celsius)
	return errorUM, shiftUM, true, err
}

// readingPart names a flag given for an error formed from a reading, if there is one.
func (o *decideOptions) readingPart() string {
	switch {
	case o.reading.given():
		return "--reading"
	case o.reference.given():
		return "--reference"
	case o.alpha.given():
		return "--alpha"
	case o.alphaDevice.given():
		return "--alpha-device"
	case o.temperature.given():
		return "--temperature"
	case *o.compensated:
		return "--compensated"
	}
	return ""
}

// inFlags turns what the rules refuse into words about the flag the figure came from.
func inFlags(err error) error {
	flags := map[string]string{
		"error_um": "--error", "mpe_um": "--mpe", "expanded_um": "--expanded", "coverage_factor": "--k", "uncertainty": "--expanded",
		"reading_mm": "--reading", "reference_mm": "--reference", "alpha_artifact": "--alpha", "alpha_device": "--alpha-device", "celsius": "--temperature",
	}
	var (
		c *conformity.InputError
		b *budget.InputError
	)
	switch {
	case errors.As(err, &c) && flags[c.Field] != "":
		return misused(fmt.Sprintf("%s is %s, expected %s", flags[c.Field], c.Found, c.Expected), c.Mend)
	case errors.As(err, &b) && flags[b.Field] != "":
		return misused(fmt.Sprintf("%s is %s, expected %s", flags[b.Field], b.Found, b.Expected), b.Mend)
	case errors.As(err, &c), errors.As(err, &b):
		return misused(err.Error(), "")
	}
	return err
}

func readFactor(text string) (float64, error) {
	k, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(k) || math.IsInf(k, 0) {
		return 0, misused(strconv.Quote(text)+", expected a number such as 2", "take k from the certificate or the budget")
	}
	return k, nil
}

func ruleWords() (all []conformity.Rule) {
	for _, r := range conformity.Rules() {
		all = append(all, r.Rule)
	}
	return all
}

func ruleNames() (names []string) {
	for _, r := range ruleWords() {
		names = append(names, string(r))
	}
	return names
}

func ruleTexts() string {
	var texts []string
	for _, r := range conformity.Rules() {
		texts = append(texts, fmt.Sprintf("%s, %s: %s (%s)", r.Rule, r.Title, r.Text, r.Source))
	}
	return strings.Join(texts, "\n\n")
}
