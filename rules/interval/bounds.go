package interval

import "fmt"

// Bounds are the shortest and the longest interval one would set, in months; 0 means that there is none.
type Bounds struct {
	MinMonths, MaxMonths float64
}

func (b Bounds) check() error {
	if b.MinMonths != 0 {
		if err := checkMonths("min_months", b.MinMonths); err != nil {
			return err
		}
	}
	if b.MaxMonths == 0 {
		return nil
	}
	if err := checkMonths("max_months", b.MaxMonths); err != nil {
		return err
	}
	if b.MinMonths > b.MaxMonths {
		return &InputError{
			Field: "min_months", Found: fmt.Sprintf("%g", b.MinMonths), Expected: fmt.Sprintf("at most max_months, %g", b.MaxMonths),
			Mend: "swap the bounds",
		}
	}
	return nil
}

// settle puts a wanted interval between the bounds. The lower bound only ends a shortening: it never lengthens an interval
// that is already shorter, because no evidence says so. The upper bound always holds.
func (b Bounds) settle(current, wanted float64) (months float64, reason string) {
	months = wanted
	if floor := min(b.MinMonths, current); months < floor {
		months = floor
		reason = fmt.Sprintf("The method gives %s months; the lower bound stops it at %s.", plain(wanted), plain(months))
	}
	if b.MaxMonths != 0 && months > b.MaxMonths {
		months = b.MaxMonths
		reason = fmt.Sprintf("The method gives %s months; the upper bound of %s months holds.", plain(wanted), plain(months))
	}
	return months, reason
}
