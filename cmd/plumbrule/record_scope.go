package main

import (
	"fmt"
	"strings"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// scopeOf reads quantities apart by commas, each with its range where it has one: "diameter, distance over 10 mm up to 3 m".
func scopeOf(flag, text string) (scope []records.Quantity, ranges []records.ScopeRange, err error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil, nil
	}
	for part := range strings.SplitSeq(text, ",") {
		name, upTo, ended := strings.Cut(part, " up to ")
		name, over, begun := strings.Cut(name, " over ")
		quantities, err := quantityList(flag, name)
		if err != nil {
			return nil, nil, err
		}
		if len(quantities) == 0 {
			return nil, nil, misused(fmt.Sprintf("%s: %q has an empty place, expected quantities apart by commas", flag, text), `write for example "diameter, distance up to 3 m"`)
		}
		if !ended && !begun {
			scope = append(scope, quantities[0])
			continue
		}
		r := records.ScopeRange{Quantity: quantities[0]}
		if begun {
			if r.Over, err = quantity.ParseLength(strings.TrimSpace(over)); err != nil {
				return nil, nil, spoken(flag, err)
			}
		}
		if ended {
			if r.UpTo, err = quantity.ParseLength(strings.TrimSpace(upTo)); err != nil {
				return nil, nil, spoken(flag, err)
			}
		}
		ranges = append(ranges, r)
	}
	return scope, ranges, nil
}

// standardsOf reads NAME[;CERTIFICATE[;UNTIL]] for each standard.
func standardsOf(flag string, entries []string) ([]records.Standard, error) {
	var out []records.Standard
	for _, entry := range entries {
		parts := strings.Split(entry, ";")
		for i := range parts {
			parts[i] = strings.TrimSpace(parts[i])
		}
		if len(parts) > 3 || parts[0] == "" {
			return nil, misused(fmt.Sprintf("%s: %q, expected a name, and after it a certificate and a day", flag, entry), `write for example "laser interferometer 3; FI-2291; 2027-03-31"`)
		}
		s := records.Standard{Name: parts[0]}
		if len(parts) > 1 {
			s.Certificate = parts[1]
		}
		if len(parts) > 2 {
			var err error
			if s.Until, err = calendar.ParseDate(parts[2]); err != nil {
				return nil, spoken(flag, err)
			}
		}
		out = append(out, s)
	}
	return out, nil
}
