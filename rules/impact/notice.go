package impact

import (
	"cmp"
	"slices"

	"plumbrule/records"
)

// Customer is what concerns one customer.
type Customer struct {
	Reference string // as in the jobs; empty: they state none
	Effects   []*Effect
}

// ByCustomer groups effects by the customers' references, sorted, those without one last; within each the order stays.
func ByCustomer(effects []Effect) []Customer {
	var out []Customer
	for i := range effects {
		e := &effects[i]
		n := slices.IndexFunc(out, func(c Customer) bool { return c.Reference == e.Job.Customer })
		if n < 0 {
			n = len(out)
			out = append(out, Customer{Reference: e.Job.Customer})
		}
		out[n].Effects = append(out[n].Effects, e)
	}
	slices.SortStableFunc(out, func(a, b Customer) int {
		return cmp.Or(cmp.Compare(flag(a.Reference == ""), flag(b.Reference == "")), cmp.Compare(a.Reference, b.Reference))
	})
	return out
}

// Unread lists records that cannot be used and may change the answer about a device or an artifact: those of every job, of
// which any may lie in a window, and its own, which may hold a failure or the good evidence a window ends with. A file is
// listed once.
func Unread(set *records.Set, subject string) []records.Unreadable {
	var out []records.Unreadable
	for _, u := range set.Unreadable {
		known := slices.ContainsFunc(out, func(o records.Unreadable) bool { return o.File == u.File })
		if !known && (u.Kind == "job" || u.Subject == subject && u.Kind != "case" && u.Kind != "procedure") {
			out = append(out, u)
		}
	}
	return out
}
