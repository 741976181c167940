package selftest

import (
	"fmt"
	"strconv"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/rules/conformity"
)

func conformanceProbability(_ *bench, input string) (float64, error) {
	in, err := allNamed(input, "value", "u", "limits")
	if err != nil {
		return 0, err
	}
	_, upper, _ := strings.Cut(input, " to ")
	limit, err := strconv.ParseFloat(upper, 64)
	if err != nil {
		return 0, err
	}
	return conformity.Probability(in[0], in[1], in[2], limit)
}

func globalRisk(_ *bench, input string) (float64, error) {
	guard, err := named(input, "guard")
	if err != nil {
		return 0, err
	}
	consumer, producer, err := conformity.GlobalRisk(conformity.Process{Mean: 1500, SD: 0.12, U: 0.04, Lower: 1499.8, Upper: 1500.2, Guard: guard})
	if strings.HasPrefix(input, "consumer") {
		return consumer, err
	}
	return producer, err
}

func guardFactor(_ *bench, input string) (float64, error) {
	width, err := named(input, "T/u")
	if err != nil {
		return 0, err
	}
	d, err := conformity.Decide(conformity.Case{MPEUM: width / 2, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(1)})
	return width/2 - known(d.AcceptanceLimitUM), err
}

func verdict(_ *bench, input string) (string, error) {
	parts, err := cut(input, ", ", 2)
	if err != nil {
		return "", err
	}
	rule, err := conformity.ParseRule(parts[0])
	if err != nil {
		return "", err
	}
	e, err := quantity.ParseLength(parts[1])
	if err != nil {
		return "", err
	}
	d, err := conformity.Decide(conformity.Case{
		ErrorUM: e.Micrometres(), MPEUM: 65, Rule: rule, Uncertainty: &conformity.Uncertainty{ExpandedUM: 10, Factor: 2},
	})
	return fmt.Sprint(d.Verdict), err
}
