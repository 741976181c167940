package main

import (
	"testing"

	"github.com/spf13/cobra"

	"plumbrule/rules/chart"
)

// What the records say and the chart looked through has no use for is dropped.
func TestLook(t *testing.T) {
	recorded := chart.Settings{Kind: chart.KindIndividuals, Baseline: 20, Minimum: 10, Widened: true, Tests: chart.Nelson()}
	for _, c := range []struct {
		flags  []string
		want   chart.Settings
		length int // of the tests' longest run on one side
	}{
		{nil, recorded, 9},
		{[]string{"--kind=ewma"}, chart.Settings{Kind: chart.KindEWMA, Baseline: 20, Minimum: 10}, 9},
		{[]string{"--baseline=6"}, chart.Settings{Kind: chart.KindIndividuals, Baseline: 6, Minimum: 6, Widened: true}, 9},
		{[]string{"--baseline=6", "--minimum=8"}, chart.Settings{Kind: chart.KindIndividuals, Baseline: 6, Minimum: 8, Widened: true}, 9},
		{[]string{"--target=1", "--sd=2"}, chart.Settings{Kind: chart.KindIndividuals, Given: &chart.Given{Centre: 1, Sigma: 2}, Widened: true}, 9},
		{[]string{"--tests=same-side 7"}, chart.Settings{Kind: chart.KindIndividuals, Baseline: 20, Minimum: 10, Widened: true}, 7},
	} {
		cmd := &cobra.Command{}
		flags := flagsOf(cmd).chart()
		if err := cmd.ParseFlags(c.flags); err != nil {
			t.Fatal(err)
		}
		got := flags.look(recorded)
		if got.Kind != c.want.Kind || got.Baseline != c.want.Baseline || got.Minimum != c.want.Minimum || got.Widened != c.want.Widened ||
			(got.Given == nil) != (c.want.Given == nil) || got.Given != nil && *got.Given != *c.want.Given || got.Tests.SameSide != c.length {
			t.Errorf("%v: %+v, want %+v", c.flags, got, c.want)
		}
	}
}

// The charts of a device that signal by one rule share its figure.
func TestAlarmBook(t *testing.T) {
	book := alarmBook{}
	for _, decision := range []float64{4, 4, 5} {
		s := chart.Settings{Decision: decision}
		c, err := chart.CUSUM([]float64{1, 2, 3}, s)
		if err != nil {
			t.Fatal(err)
		}
		if a := book.of(c, s); a.length == 0 {
			t.Error(a.why)
		}
	}
	if len(book) != 2 {
		t.Errorf("%d rules remembered, want 2", len(book))
	}
}
