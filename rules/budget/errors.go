package budget

import "fmt"

// largest bounds every number that comes in: far above any length in any of the units, and no product of two of them
// overflows.
const largest = 1e12

// between refuses a value outside [low, high]; it is written so that NaN is refused too.
func between(field string, value, low, high float64, expected, mend string) error {
	if low <= value && value <= high {
		return nil
	}
	return &InputError{Field: field, Found: fmt.Sprintf("%g", value), Expected: expected, Mend: mend}
}

func notNegative(field string, value float64) error {
	return between(field, value, 0, largest, "a number from 0 to 1e12", "check the unit and the sign")
}

func factor(field string, k float64) error {
	if k > 0 {
		// Below a millionth U/k is no uncertainty any more but a slip of the unit.
		return between(field, k, 1e-6, 1e6, "a coverage factor, commonly 2", "take k from the certificate")
	}
	return &InputError{Field: field, Found: fmt.Sprintf("%g", k), Expected: "a coverage factor above 0", Mend: "take k from the certificate, commonly 2"}
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
