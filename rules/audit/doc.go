// Package audit answers from the records what an auditor asks of measuring
// equipment: clause by clause what shows that it is kept, and everything that
// such a person would find, with what would mend it.
//
// In go the records, their assessment, a period and the instant that ends it;
// out come the [Answers] and the [Findings]. An answer never claims
// more than the records show. What records cannot show, such as how equipment
// is handled, is said to be the laboratory's own to show.
//
// The clauses are those of ISO/IEC 17025:2017, ISO 10012:2003 and
// ISO 9001:2015, their questions in words of our own and no substitute for the
// standards. Clause numbers are from memory of the standards but for
// ISO/IEC 17025 6.4.12, 6.4.13 a to f and 8.4.
package audit
