package records

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"plumbrule/records/calendar"
)

// numbers finds certificates of one laboratory with one number, of those that
// no other record corrects.
func (c *checker) numbers(corrected map[string]string) {
	seen := map[[3]string]*Certificate{}
	for file, r := range c.each {
		v, ok := r.(*Certificate)
		if !ok || corrected[strings.TrimSuffix(file, suffix)] != "" {
			continue
		}
		key := [3]string{v.Subject, strings.ToLower(v.Laboratory), strings.ToLower(v.Number)}
		other := seen[key]
		if other == nil {
			seen[key] = v
			continue
		}
		if compareFiles(v.File, other.File) < 0 {
			v, other = other, v
		}
		if bytes.Equal(c.substance(v), c.substance(other)) {
			c.fault("duplicate-number", v.File, top("number"), fmt.Sprintf("number %s of the same laboratory stands in another certificate of %s as well", v.Number, v.Subject), "",
				c.place(other.File, top("number"), "the other one"))
		} else {
			c.both("certificates-disagree", v.File, other.File, top("number"), fmt.Sprintf("number %s of the same laboratory is recorded twice for %s, and the two records differ", v.Number, v.Subject))
		}
	}
}

// substance is what of a certificate's record conclusions may rest on, as text:
// all but who entered it, when and with which remarks.
func (c *checker) substance(v *Certificate) []byte {
	s := *v
	s.Number, s.Laboratory = "", "" // the same but for upper and lower case
	s.Received, s.Attachment = calendar.Date{}, nil
	s.Entered, s.By, s.Note, s.Amends, s.Reason = time.Time{}, "", "", "", ""
	if s.Review != nil {
		review := *s.Review
		review.By, review.Reason = "", ""
		s.Review = &review
	}
	var w writer
	writeTable(&w, c.load.schema.certificate, &s)
	return w.b.Bytes()
}
