package records

import (
	"fmt"
	"slices"
	"strings"
)

// instants finds checks of one device by one procedure at the same second, of
// those that no other record corrects. Only a number in its name lets a second
// check of a minute have a place.
func (c *checker) instants(corrected map[string]string) {
	groups := map[string][]*Check{}
	add := func(head, file string, r any) {
		if k, ok := r.(*Check); ok && corrected[strings.TrimSuffix(file, suffix)] == "" {
			groups[head] = append(groups[head], k)
		}
	}
	for file, r := range c.each {
		head, n := numbered(file)
		if n < 2 {
			continue
		}
		if first := head + suffix; groups[head] == nil && !c.bad[first] {
			r, _ := c.load.understood(first)
			add(head, first, r)
		}
		add(head, file, r)
	}
	for _, head := range sortedKeys(groups) {
		checks := groups[head]
		slices.SortFunc(checks, func(a, b *Check) int { return compareFiles(a.File, b.File) })
		for i, k := range checks {
			at := slices.IndexFunc(checks[:i], func(o *Check) bool { return o.Procedure == k.Procedure && o.Time.Unix() == k.Time.Unix() })
			if at >= 0 {
				c.fault("same-time", k.File, top("time"), fmt.Sprintf("another check of %s by %s was recorded for the same second; of the two the graver counts", k.Device, k.Procedure), "",
					c.place(checks[at].File, top("time"), "the other one"))
			}
		}
	}
}
