// Package due says on which dates something recurring is due.
//
// In go an anchor (the day of the calibration or check), a calendar interval and a policy; out comes the k-th due date.
// Dates are local days without a zone; nothing here knows what is due, or what day it is today.
//
// The k-th due date is the anchor plus k intervals in one step, never the date before plus one interval: the clamp to a
// month's end forgets the day it clamped (31 January, 28 February, 28 March), so a chain of dates would creep forward.
// Months are added before days (ISO 8601-1:2019 leaves years and months without fixed length; the clamp is
// SKIP=BACKWARD of RFC 7529, section 4.1).
package due
