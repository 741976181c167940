package conformity

// Verdict is what a rule concludes.
type Verdict string

// The verdicts. Inconclusive comes from ISO14253 only, the conditional ones from FourValued only.
const (
	Pass            Verdict = "pass"
	Fail            Verdict = "fail"
	Inconclusive    Verdict = "inconclusive"
	ConditionalPass Verdict = "conditional-pass"
	ConditionalFail Verdict = "conditional-fail"
)

// NoteID names a kind of note.
type NoteID string

// The kinds of notes.
const (
	// NoteNoUncertainty: decided without an uncertainty, so nothing is known about the risk.
	NoteNoUncertainty NoteID = "no-uncertainty"
	// NoteCannotPass: the uncertainty is so large that no error, not even 0, could pass.
	NoteCannotPass NoteID = "cannot-pass"
	// NoteFactorDisagrees: a guard band of 1.65 u would have decided otherwise on passing than the probability did.
	NoteFactorDisagrees NoteID = "guard-factor-disagrees"
	// NoteUninformative: the probability of conformance is at most 0.05 although the error is inside the MPE.
	NoteUninformative NoteID = "uninformative"
)

// Note is something a reader of the verdict should know beside the figures.
type Note struct {
	ID   NoteID
	Text string
}

// Decision is the verdict on a case with everything it rests on. Figures in micrometres unless said otherwise.
type Decision struct {
	Verdict Verdict
	Rule    Rule

	ErrorUM float64 // as given, with its sign
	MPEUM   float64 // as given

	ExpandedUM Figure // U as given
	Ratio      Figure // MPE/U, a pure number; at k = 2 what is often called the test uncertainty ratio

	// AcceptanceLimitUM is the largest |E| that passes. RejectionLimitUM is where failing begins: for ISO14253 the limit
	// itself fails (non-conformity is proved at exactly 95 %), for the other rules it is the last value that does not.
	AcceptanceLimitUM Figure
	RejectionLimitUM  Figure

	ConformanceProbability Figure // 0 … 1, both limits together, or the upper one alone if the case is one-sided

	Notes []Note
}
