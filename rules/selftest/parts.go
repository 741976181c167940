package selftest

// Part is a package that reads, computes or judges.
type Part struct {
	Name  string // its path in the module
	About string
}

// Parts are all packages below rules and records whose results reach a user, so that those without any figure to compare
// with can be named. The order is that of the record: what is read first stands first.
func Parts() []Part {
	return []Part{
		{"records", "records read, checked against each other, written"},
		{"records/source", "TOML with positions"},
		{"records/quantity", "units, limits, intervals"},
		{"records/calendar", "local dates, time zones"},
		{"records/scan", "points from scans"},
		{"records/history", "the past of the records, as git keeps it"},
		{"records/spelling", "what a mistyped word was meant to be"},
		{"rules", "fitness of devices, with reasons"},
		{"rules/due", "due dates"},
		{"rules/conformity", "decision rules, conformance probability, risks"},
		{"rules/budget", "temperature, coverage, uncertainty of the test value"},
		{"rules/budget/expression", "formulas and their derivatives"},
		{"rules/budget/law", "distributions of inputs"},
		{"rules/budget/propagation", "law of propagation of uncertainty"},
		{"rules/budget/montecarlo", "propagation of distributions by trials"},
		{"rules/budget/random", "random numbers of the trials"},
		{"rules/budget/worksheet", "budgets as files"},
		{"rules/chart", "control charts, run tests, run lengths"},
		{"rules/sample", "summaries of samples, outliers"},
		{"rules/repeatability", "crossed studies of parts and operators"},
		{"rules/drift", "straight lines, bands, where they meet a limit"},
		{"rules/growth", "errors that grow with the path"},
		{"rules/interval", "review of calibration intervals"},
		{"rules/sphere", "spheres found in scans and fitted"},
		{"rules/route", "how measuring volumes are joined"},
		{"rules/route/graph", "centre of a network and its tree"},
		{"rules/route/space", "obstacles, what lies within reach"},
		{"rules/choose", "which device can hold a tolerance"},
		{"rules/plan", "work of the coming weeks"},
		{"rules/impact", "jobs that an error may have spoilt"},
		{"rules/trace", "the chain from a figure to its reference"},
		{"rules/audit", "what an auditor asks and would find"},
		{"rules/figure", "numbers that may be absent with a reason"},
	}
}

// Count is how many figures of a part were compared, and how many agree.
type Count struct {
	Part
	Figures, Agree int
}

// Counts returns one for each part, in the order of Parts.
func Counts(results []Result) []Count {
	var all []Count
	for _, p := range Parts() {
		c := Count{Part: p}
		for _, r := range results {
			if r.Group.Part != p.Name {
				continue
			}
			c.Figures++
			if r.Agrees {
				c.Agree++
			}
		}
		all = append(all, c)
	}
	return all
}
