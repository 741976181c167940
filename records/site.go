package records

import (
	"time"

	"plumbrule/records/quantity"
)

// Format is the version of the record format this package reads and writes.
const Format = 1

// SiteFile is the name of the site's settings file; the folder that holds it
// is a records repository.
const SiteFile = "plumbrule.toml"

// Site is the content of plumbrule.toml: who keeps the records, in which time
// zone their dates are meant, and the policies by which they are judged.
type Site struct {
	File     string
	Format   int
	Name     string
	TimeZone string         // name in the tz database
	Zone     *time.Location // TimeZone, from the embedded tz database
	Unit     string         // length unit offered when readings are recorded

	Decision SiteDecision
	Due      SiteDue
	Chart    ChartSettings
	Fitness  []FitnessPolicy // in the order written
	Scans    SiteScans
	Choose   SiteChoose

	// Settings of the watcher.
	Watch    SiteWatch
	Inbox    SiteInbox
	Page     SitePage
	Drops    []Drop // in the order written, as are those below
	Persons  []Person
	Channels []Channel
	Routes   []Route
}

// SiteDecision is the decision rule used where a procedure names none.
type SiteDecision struct {
	Rule         string // see package rules/conformity for the rules
	RuleLine     int
	MinimumRatio float64 // MPE/U below which a simple verdict is remarked on
}

// SiteDue says when something due is overdue and how early to say so.
type SiteDue struct {
	Until string            // "day" or "month-end"
	Lead  quantity.Interval // how long before the due date it is announced
}

// SiteChoose says what a device must leave of a job's tolerance to be chosen
// for it.
type SiteChoose struct {
	// MinimumRatio is the least that half the width of the tolerance zone may be
	// in units of the device's bound; zero: not stated.
	MinimumRatio float64
}

// ChartSettings are the settings of control charts; a procedure's settings
// take the place of the site's, key by key.
type ChartSettings struct {
	Kind     string // of chart; empty: individuals
	KindLine int
	Baseline int      // checks from which limits are computed
	Minimum  int      // checks below which limits are only provisional
	Tests    []string // run tests applied; empty: the default set
	TestLine int
	Widened  bool // limits are widened as far as the baseline is short

	Weight, Width                  float64 // of an EWMA; zero: the defaults
	Reference, Decision, HeadStart float64 // of a CUSUM, in units of sigma; zero: the defaults
}

// FitnessPolicy replaces the default effect of one reason code.
type FitnessPolicy struct {
	Code   string
	Effect string
	Line   int
}
