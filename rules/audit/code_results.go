package audit

import (
	"fmt"
	"slices"
)

// resultCodes are about results that may be wrong and evidence that was altered.
func resultCodes() []Code {
	return []Code{
		{
			"evidence-rewritten", "recorded evidence was rewritten", "The repository's history shows that a record of something that happened was changed or taken away in the period.",
			"restore what it said, and record a correction that names it (amends)", slices.Concat(of(lab, "8.4", "7.5.2"), of(measures, "6.2.3")), "",
		},
		{
			"failure-without-case", "out of limits, and nothing decided", "An error outside a limit was found, and no case says what it meant for earlier results.",
			"plumbrule record case; then verify, set the window, and decide on each job", slices.Concat(of(lab, "6.4.9", "7.10.1", "7.7.3"), of(measures, "8.3.2", "8.3.3"), of(quality, "7.1.5.2")), "",
		},
		{
			"repeated-until-passed", "a failed check, repeated until it passed", "A check failed and a later one passed, with nothing adjusted or calibrated in between and no case opened.",
			"open a case, find the cause, and record what the first result was worth", slices.Concat(of(lab, "6.4.9", "7.7.3", "7.10.1"), of(measures, "8.3.3")), "",
		},
		{
			"impact-undecided", "jobs in doubt without a decision", "A job was measured while results were in doubt, and the case does not say what becomes of it.",
			"plumbrule impact shows the figures; record a decision on each job", slices.Concat(of(lab, "7.10.1"), of(quality, "7.1.5.2")), "",
		},
		{
			"doubt-unresolved", "in doubt since an incident, and not settled", "After an incident no good evidence and no case followed.",
			"check every quantity in doubt, and look at the jobs since then", slices.Concat(of(lab, "6.4.9", "7.10.1"), of(measures, "8.3.3")), "",
		},
		{
			"as-found-missing", "adjusted without as found", "The device was adjusted or repaired, and nothing shows how it measured before: the time before it is unproven.",
			"none for the past: treat it like a failure of unknown size and decide on its jobs; from now on check before adjusting", slices.Concat(of(lab, "6.4.13 e", "7.8.4"), of(measures, "7.1.4", "8.3.3")), "",
		},
		{
			"job-device-unlisted", "a job measured with a device that no list knows", "The job names a device that has no record.",
			"add devices/<id>.toml with its calibration, or mend the id in the job", slices.Concat(of(lab, "6.4.13 a", "6.4.13 b"), of(measures, "6.2.4")), "",
		},
		{
			"job-device-not-fit", "a job measured with a device that was not fit", "On a day of the job the device was not allowed to measure what was measured.",
			"decide and record what the job's figures are worth; measure again with a fit device", slices.Concat(of(lab, "6.4.4", "6.4.9"), of(measures, "6.3.1"), of(quality, "7.1.5.2")), "",
		},
		{
			"expired-reference-used", "checked by an artifact out of its interval", "A check took its reference values from an artifact that had no certificate in force at that time, or one whose interval had ended.",
			"have the artifact calibrated, and check again", slices.Concat(of(lab, "6.4.11", "6.5.1"), of(measures, "7.3.2")), "",
		},
		{
			"superseded-reference-used", "checked by an old certificate", "A later calibration of the artifact had been received, and the check was still judged by the values of the one before.",
			"review certificates on the day they come; judge the check again by the newer values", of(lab, "6.4.11"), "",
		},
		{
			"unsound-artifact-used", "checked by an artifact not to be relied on", "At the time of the check the artifact was in doubt, out of service, or repaired and not calibrated since.",
			"have the artifact calibrated, and check again", of(lab, "6.4.9", "6.4.11"), "",
		},
	}
}

// statusCodes are about what is due, and cases.
func statusCodes() []Code {
	late := fmt.Sprintf("open for more than %d days: %s", caseDays, practice)
	return []Code{
		{
			"unusable-record", "a record that cannot be used", "A file that holds a record cannot be read or contradicts another, and what it is about is not judged.",
			"run plumbrule validate and mend the file", slices.Concat(of(lab, "8.4"), of(measures, "6.2.3")), "",
		},
		{
			"overdue", "overdue without an extension", "What was due is not done, and nobody put the date off before it came.",
			"do what is due; an extension can only be recorded before the date", slices.Concat(of(lab, "6.4.7", "6.4.8"), of(measures, "7.1.2"), of(quality, "7.1.5.2")), "",
		},
		{
			"never-done", "never calibrated or never checked", "What the device or artifact requires was never done, or never as evidence.",
			"have it calibrated and review the certificate, or make the check", slices.Concat(of(lab, "6.4.4", "6.4.6", "6.4.13 c"), of(measures, "6.3.1", "7.1.1"), of(quality, "7.1.5.2")), "",
		},
		{
			"overdue-in-the-past", "a gap in the past", "Within the period there were days on which the calibration or a required check was overdue.",
			"none for the past: look at what was measured on those days, and record what it is worth", slices.Concat(of(lab, "6.4.7"), of(measures, "7.1.2"), of(quality, "7.1.5.2")), "",
		},
		{
			"unproven-in-use", "in use without proof", "Since a return to service, an adjustment or a change of limits nothing shows that the device keeps a limit it has.",
			"check it, or take the limit out of the device", slices.Concat(of(lab, "6.4.4", "6.4.13 c"), of(measures, "7.1.1")), "",
		},
		{
			"firmware-not-verified", "firmware changed without a check after it", "Another version was loaded, and the device was used without a check, or has had none since.",
			"check it after each change of firmware, before the next job", of(lab, "6.4.4", "6.4.13 a"), "",
		},
		{
			"released-alone", "adjusted and released by one person", "Who adjusted or repaired it also let it back into service, alone.",
			"let another authorised person look at the evidence and record the release", slices.Concat(of(lab, "7.10.1"), of(measures, "8.3.3")), practice,
		},
		{
			"case-lacking", "a case closed with something left to do", "The case was closed, and the records lack a step of it.",
			"record the step that is missing, or reopen the case", of(lab, "7.10.1", "7.10.2"), "",
		},
		{
			"case-old", "a case open for long", "A case is still open, and it is not seen when it will be done.",
			"record the steps it lacks, and close it", of(lab, "7.10.3"), late,
		},
		{
			"signal-without-action", "a signal on a chart and nothing done", "A control chart signalled, and no event, case or extra check followed.",
			"check again, look for the cause, and record what was found", slices.Concat(of(lab, "7.7.1", "7.7.3"), of(measures, "8.2.4")),
			fmt.Sprintf("a check within %d days, or an event or a case within %d: %s", actionDays, episodeDays, practice),
		},
	}
}
