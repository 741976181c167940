package interval

import (
	"fmt"

	"plumbrule/rules/figure"
)

// InUse counts the interval in hours of use instead of calendar time and converts it by the use that was observed.
//
// It suits what wears by use. It rests on the meter of hours, and on the coming months being used as the observed ones; a
// device that ages on the shelf needs Bounds.MaxMonths beside it.
//
// Source: ILAC-G24:2022 / OIML D 10:2022, 6.4, method 3 (heading read; wording from memory).
type InUse struct {
	Hours      float64 // of use between two calibrations
	UsedHours  float64 // observed, 0 or more
	OverMonths float64 // in which they were observed
	Bounds     Bounds
}

// hoursPerMonth is what the longest month has: 31 days.
const hoursPerMonth = 31 * 24

// Next proposes the calendar interval in which the hours will have been used. An [*InputError] names what cannot be used.
func (u InUse) Next(currentMonths float64) (Proposal, error) {
	if err := u.check(currentMonths); err != nil {
		return Proposal{}, err
	}
	p := Proposal{
		Method: MethodInUse, CurrentMonths: currentMonths,
		Confidence: figure.Absent("a conversion of hours into months has no confidence"),
	}
	rate := u.UsedHours / u.OverMonths
	p.rest(UsePerMonth, "h/month", figure.Known(rate))
	// Written as a product, because the quotient overflows for next to no use.
	if u.Hours > rate*longestMonths {
		p.because(fmt.Sprintf("With %s hours of use in %s months, the %s hours are not used up in a century.", plain(u.UsedHours), plain(u.OverMonths), plain(u.Hours)))
		if u.Bounds.MaxMonths == 0 {
			p.Direction = None
			p.because("Without an upper bound in months there is nothing to propose.")
			return p, nil
		}
		p.because("The upper bound in months decides.")
		p.propose(Bounds{MinMonths: u.Bounds.MinMonths}, u.Bounds.MaxMonths)
		return p, nil
	}
	months := u.Hours / rate
	p.because(fmt.Sprintf("At %s hours of use per month, %s hours last %s months.", plain(rate), plain(u.Hours), plain(months)))
	p.propose(u.Bounds, months)
	return p, nil
}

func (u InUse) check(currentMonths float64) error {
	if err := checkMonths("current_months", currentMonths); err != nil {
		return err
	}
	if err := checkPositive("hours", u.Hours); err != nil {
		return err
	}
	if err := checkMonths("over_months", u.OverMonths); err != nil {
		return err
	}
	if !(u.UsedHours >= 0 && u.UsedHours <= u.OverMonths*hoursPerMonth) {
		return &InputError{
			Field: "used_hours", Found: fmt.Sprintf("%g", u.UsedHours),
			Expected: fmt.Sprintf("from 0 to the %g hours that %g months have", u.OverMonths*hoursPerMonth, u.OverMonths),
			Mend:     "check the meter and the months",
		}
	}
	return u.Bounds.check()
}
