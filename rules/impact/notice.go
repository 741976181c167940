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

// Unread lists the job records that cannot be used: what they say of devices and times is not known, so that any of them may
// lie in a window.
func Unread(set *records.Set) []records.Unreadable {
	var out []records.Unreadable
	for _, u := range set.Unreadable {
		if u.Kind == "job" {
			out = append(out, u)
		}
	}
	return out
}
