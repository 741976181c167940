package rules

import "slices"

// ReasonCode documents one kind of reason: what it means, its default effect
// on fitness, the effects a site may choose instead, and what mends it.
type ReasonCode struct {
	ID      string
	Title   string
	Effect  Fitness   // default
	Allowed []Fitness // effects a site may choose in [fitness]; empty: fixed
	Meaning string
	Mend    string
	Source  string // published rule behind it, where there is one
}

const (
	equipmentClause = "ISO/IEC 17025:2017, 6.4.9"
	intervalClause  = "ISO/IEC 17025:2017, 6.4.7 and 6.4.8"
	checkClause     = "ISO/IEC 17025:2017, 6.4.10"
	traceClause     = "ISO/IEC 17025:2017, 6.5"
	caseClause      = "ISO/IEC 17025:2017, 7.10"
)

// ReasonCodes lists every kind of reason, the gravest first.
func ReasonCodes() []ReasonCode {
	return slices.Concat(serviceReasons(), evidenceReasons(), dueReasons(), remarkReasons())
}

func serviceReasons() []ReasonCode {
	return []ReasonCode{
		{"record-unreadable", "a record cannot be read", Unknown, []Fitness{Unknown, Unfit}, "A file that belongs to this device, or to what its evidence rests on, cannot be read or contradicts another. What it says is not known, so the device is not judged.", "run plumbrule validate and mend the file", ""},
		{"retired", "out of service for good", Unfit, nil, "An event retired the device.", "none: a retired device keeps its records and is not used", ""},
		{"withdrawn", "taken out of service", Unfit, nil, "An event withdrew the device, and none has returned it to service. Its check clocks stand still.", "check it, then record a return-to-service event that names the check", equipmentClause},
		{"not-in-service", "not yet in service", Unfit, nil, "The device's first day of service has not come.", "wait, or mend in-service", ""},
		{"return-unproven", "returned without proof", Unknown, []Fitness{Limited, Unknown, Unfit}, "The return to service names no passed check that was made after the withdrawal.", "check the device and record the return again", "ISO/IEC 17025:2017, 6.4.4"},
		{"in-doubt", "in doubt since an incident", Unknown, []Fitness{Limited, Unknown, Unfit}, "An event puts the device in doubt (a fall, an overload), and it has not passed a check of every quantity since.", "check every quantity it has a limit for", equipmentClause},
		{"limitation", "use limited by decision", Limited, []Fitness{Limited, Unfit}, "An event limits the device to some quantities or lengths.", "record a limitation-lifted event once the cause is gone", "ISO 10012:2003, 6.2.4 (from memory)"},
	}
}

func evidenceReasons() []ReasonCode {
	return []ReasonCode{
		{"all-failed", "every quantity failed", Unfit, nil, "The last evidence of every quantity the device has a limit for failed.", "withdraw it; after adjustment or repair, check it again", equipmentClause},
		{"nothing-left", "limited to nothing", Unfit, nil, "Each quantity is excluded for a reason that would only limit the device; together they leave nothing it may measure.", "mend one of the other reasons", equipmentClause},
		{"quantity-failed", "a quantity failed", Limited, []Fitness{Limited, Unfit}, "The last evidence of a quantity is outside the limit by the decision rule. Other quantities are not touched: a size check proves nothing about distance.", "verify the finding with a second artifact or person; then adjust or repair, and check again", equipmentClause},
		{"quantity-inconclusive", "a quantity neither passed nor failed", Limited, []Fitness{Fit, Limited, Unfit}, "The last evidence is so near the limit that, with its uncertainty, the decision rule proves neither conformity nor non-conformity.", "check again with smaller uncertainty: a better certificate, a steadier temperature", "ISO 14253-1:2017 (rule), JCGM 106:2012"},
		{"quantity-unproven", "a quantity without evidence", Limited, []Fitness{Fit, Limited, Unknown, Unfit}, "The device has a limit for a quantity that no certificate in force and no check shows it to keep, or only a check beside the plan that is older than the calibration interval. Where that holds for every quantity, the device is unknown.", "let a procedure check it, or take the limit out of the device", "ISO/IEC 17025:2017, 6.4.4"},
		{"unproven-since-adjustment", "no evidence since an adjustment", Unknown, []Fitness{Fit, Limited, Unknown, Unfit}, "The device was adjusted or repaired, and nothing shows yet how it was left.", "check it", "ISO 10012:2003, 7.1.2 (from memory)"},
		{"never-calibrated", "never calibrated", Unknown, []Fitness{Limited, Unknown, Unfit}, "No accepted certificate of the device is in force.", "have it calibrated, enter the certificate and review it", "ISO/IEC 17025:2017, 6.4.6"},
		{"never-checked", "a required check never done", Unknown, []Fitness{Limited, Unknown, Unfit}, "A check the device requires has never been made, or never as evidence.", "make the check", checkClause},
		{"artifact-expired", "checked with an artifact out of its interval", Unknown, []Fitness{Limited, Unknown, Unfit}, "The last check was made when the artifact's calibration had run out; it is no evidence.", "have the artifact calibrated and check again", traceClause},
		{"artifact-uncertified", "checked with an artifact without certificate", Unknown, []Fitness{Limited, Unknown, Unfit}, "At the time of the last check no accepted certificate of the artifact was in force; it is no evidence.", "enter and review the artifact's certificate, and check again", traceClause},
		{"artifact-in-doubt", "checked with an artifact in doubt", Unknown, []Fitness{Limited, Unknown, Unfit}, "The artifact of the last check was at the time in doubt, out of service, or repaired and not calibrated since; the check is no evidence.", "have the artifact calibrated and check again", equipmentClause},
		{"feature-uncovered", "the certificate does not cover the feature", Unknown, []Fitness{Limited, Unknown, Unfit}, "The artifact's certificate in force has no value for the feature measured, was not accepted for its quantity, or certifies another kind of quantity than is judged; the reading is no evidence.", "use a certified feature, or have it certified", traceClause},
		{"test-unmet", "a reading that does not carry its test", Unknown, []Fitness{Limited, Unknown, Unfit}, "The fit behind a reading kept fewer points, saw less of the sphere or lost more points to the cut than the procedure or its test asks, held the radius of a sphere whose diameter is judged, or the test is about something else than was measured. The reading is no evidence.", "scan again, nearer and from more sides; or mend the procedure if it asks what it does not mean", ""},
		{"rule-refused", "the rule cannot judge", Unknown, []Fitness{Limited, Unknown, Unfit}, "The decision rule could not be applied to the reading.", "look at the figures explain shows", ""},
		{"certificate-limited", "certificate accepted with limits", Limited, []Fitness{Fit, Limited}, "The incoming review accepted the device's certificate for some quantities only.", "none needed if the limits suit the use", "ISO/IEC 17025:2017, 6.6.2"},
	}
}

func dueReasons() []ReasonCode {
	return []ReasonCode{
		{"calibration-overdue", "calibration overdue", Unfit, []Fitness{Limited, Unknown, Unfit}, "The calibration's due date has passed without extension.", "have it calibrated; an extension can only be recorded before the date", intervalClause},
		{"check-overdue", "a required check overdue", Unfit, []Fitness{Fit, Limited, Unknown, Unfit}, "The due date of a check the device requires has passed.", "make the check", checkClause},
		{"extension-with-limits", "calibration extended with limits of use", Limited, []Fitness{Limited}, "The due date was extended, with limits of use until the device is calibrated.", "have it calibrated", intervalClause},
		{"extension", "calibration or check extended", Fit, []Fitness{Fit, Limited}, "The due date was put off before it came, once, with reason and author.", "none needed until the new date", intervalClause},
		{"extension-void", "an extension without effect", Fit, nil, "An extension was entered after the due date, for a device that had failed, or a second time for the same period; or a longer interval was entered after the due date. It does not put the date off.", "do what is due", intervalClause},
		{"failed-then-passed", "failed, then passed", Fit, []Fitness{Fit, Limited, Unknown, Unfit}, "A check failed, and a later one of the same feature passed although nothing was adjusted or calibrated in between. Which of the two tells the truth is not settled; passing at a later try settles nothing.", "find the cause; then record an adjustment or repair, have it calibrated, or correct the record that was mistaken", "ISO/IEC 17025:2017, 7.10"},
		{"chart-signal", "a control chart signals", Fit, []Fitness{Fit, Limited, Unknown, Unfit}, "The latest point of a control chart is out of control while the errors are inside the limit: something has changed. An extra check is due.", "check again, look for the cause, and record what was found", "ISO/IEC 17025:2017, 7.7.1"},
		{"firmware-unchecked", "firmware changed, not checked since", Fit, []Fitness{Fit, Limited, Unknown, Unfit}, "New firmware was loaded, and a required check has not been made since. An extra one is due.", "check it", "ISO/IEC 17025:2017, 6.4.4 and 7.11"},
		{"calibration-due", "calibration due soon", Fit, nil, "The due date is nearer than the lead time.", "book the calibration", intervalClause},
		{"check-due", "a check due", Fit, nil, "A check is due within its lead time, or an extra one is asked.", "make the check", checkClause},
		{"jobs-in-doubt", "delivered jobs in doubt", Fit, nil, "Jobs were measured for a failed quantity after the last good evidence of it, or before the adjustment that put it right.", "look at each job: its tolerance, its length and path, and the error found", "ISO/IEC 17025:2017, 7.10"},
		{"case-missing", "a failure without a case", Fit, nil, "Something failed, and no case was opened about it, or the last was closed before. A case holds what was verified, which jobs lie in the window, what was decided about each, who was told, the cause, and who released the device.", "plumbrule record case", caseClause},
		{"case-open", "a case is open", Fit, nil, "A case about the device is not closed, or was closed with something left to do.", "record the steps it lacks: plumbrule record step", caseClause},
		{"job-beyond-limits", "a job beyond what the device may do", Fit, nil, "A job under way measures what the device is presently not allowed to.", "use another device, or mend the cause of the limitation", equipmentClause},
	}
}

func remarkReasons() []ReasonCode {
	return []ReasonCode{
		{"past-unproven", "adjusted without as found", Fit, nil, "The device was adjusted and nothing shows how it measured before. The period before is unproven: treat it like a failure of unknown size.", "next time check before adjusting; look at the jobs of the period", "ISO/IEC 17025:2017, 7.8.4.1 d"},
		{"as-found-failed", "found outside its limits before an adjustment", Fit, nil, "As found, at a calibration or in the check before an adjustment, errors exceeded the limit. The device was put right, but what it measured before is in doubt.", "look at the jobs of the period", "ISO/IEC 17025:2017, 7.10"},
		{"certificate-unreviewed", "a certificate not reviewed", Fit, nil, "A certificate was entered and not yet accepted; it is not in force.", "review it", "ISO/IEC 17025:2017, 6.6.2"},
		{"certificate-sent-back", "a certificate sent back", Fit, nil, "A certificate was refused at its review; it is not in force.", "wait for the corrected one", "ISO/IEC 17025:2017, 6.6.2"},
		{"not-evidence", "a check beside the plan is no evidence", Fit, nil, "The last check by a procedure the device does not require could not be judged. Nothing rests on it; a quantity without other evidence is reported as unproven.", "see the reason given", ""},
		{"ratio-low", "uncertainty large against the limit", Fit, []Fitness{Fit, Limited}, "A verdict by simple acceptance was reached with an uncertainty that is large against the limit: its risk is up to one half near the limit.", "reduce the uncertainty, or choose a rule with guard bands", "ILAC-G8:09/2019, 4.2"},
		{"conditional", "passed or failed conditionally", Fit, nil, "The four-valued rule put the error between the limit and the guard band, inside the limit.", "none needed; the risk is stated", "ILAC-G8:09/2019, 4.2.3"},
		{"chart-provisional", "a control chart is young", Fit, nil, "Control limits rest on fewer checks than asked; signals are not acted on yet.", "none: go on checking", ""},
		{"calibration-not-required", "no calibration required", Fit, nil, "The device's plan says why it is not calibrated.", "none", "ISO/IEC 17025:2017, 6.4.6"},
	}
}
