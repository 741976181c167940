package selftest

import (
	"strconv"
	"strings"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/due"
)

func weekday(_ *bench, input string) (string, error) {
	d, err := calendar.ParseDate(input)
	return d.Weekday().String(), err
}

func dayEnd(_ *bench, input string) (string, error) {
	parts, err := cut(input, " in ", 2)
	if err != nil {
		return "", err
	}
	d, err := calendar.ParseDate(parts[0])
	if err != nil {
		return "", err
	}
	zone, err := calendar.Zone(parts[1])
	if err != nil {
		return "", err
	}
	return d.EndIn(zone).UTC().Format(time.RFC3339), nil
}

func dueDate(_ *bench, input string) (string, error) {
	parts, err := cut(input, ", ", 3)
	if err != nil {
		return "", err
	}
	anchor, err := calendar.ParseDate(parts[0])
	if err != nil {
		return "", err
	}
	interval, err := quantity.ParseInterval(parts[1])
	if err != nil {
		return "", err
	}
	k, err := strconv.Atoi(strings.TrimPrefix(parts[2], "k "))
	return due.Next(anchor, interval, k, due.Day).String(), err
}
