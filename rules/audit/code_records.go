package audit

import (
	"fmt"
	"slices"
)

// certificateCodes are about certificates and their laboratories.
func certificateCodes() []Code {
	return []Code{
		{
			"certificate-never-reviewed", "a certificate filed but never reviewed", "The certificate was entered, and nobody recorded whether it may be used.",
			"review it: right item, every feature, U, laboratory and scope, values against last time", slices.Concat(of(lab, "6.4.4", "6.4.11"), of(measures, "6.4", "7.1.1")), "",
		},
		{
			"accreditation-not-stated", "no accreditation stated", "The record names no accreditation of the laboratory; whether it is competent is not shown.",
			"enter the number if the certificate bears it; else keep proof of the laboratory's competence", slices.Concat(of(lab, "6.5.2"), of(measures, "6.4", "7.3.2")), "",
		},
		{
			"scope-not-stated", "the laboratory's scope not looked up", "The record names an accreditation, and not which quantities and ranges it covers.",
			"look the scope up as it was on that day, and enter scope and [[scope-range]]", of(lab, "6.5.2"), "",
		},
		{
			"beyond-scope", "outside the laboratory's scope", "A figure of the certificate is of a quantity, or at a length, that the stated scope does not cover.",
			"ask the laboratory; have it calibrated by one whose scope covers it", slices.Concat(of(lab, "6.5.2"), of(measures, "6.4")), "",
		},
		{
			"uncertainty-not-stated", "U or k not stated", "A figure of the certificate has no expanded uncertainty with its coverage factor, or one of zero.",
			"enter U and k as the certificate states them, or ask the laboratory", slices.Concat(of(lab, "6.5.1", "7.6.1", "7.8.2"), of(measures, "7.3.1")), "",
		},
		{
			"traceability-not-stated", "no reference stated", "The record does not say what the certificate is traceable to.",
			"enter what the certificate says as traceability, or ask the laboratory", slices.Concat(of(lab, "6.5.1", "6.5.3"), of(measures, "7.3.2"), of(quality, "7.1.5.2")), "",
		},
		{
			"file-not-kept", "the certificate itself not kept", "The record names no file of the certificate as it came.",
			"put the certificate into the repository and name it as [attachment] in a correction", slices.Concat(of(lab, "8.4"), of(measures, "6.2.3")), "",
		},
		{
			"file-altered", "a file that is not the one recorded", "The file's SHA-256 is another than the record says: the file or the record was changed.",
			"restore the file from the repository's history", slices.Concat(of(lab, "8.4"), of(measures, "6.2.3")), "",
		},
		{
			"file-lost", "a file that is not there", "The file that a record names is not in the repository as an ordinary file, or could not be read.",
			"fetch or add the file", slices.Concat(of(lab, "8.4"), of(measures, "6.2.3")), "",
		},
	}
}

// recordCodes are about how it was recorded.
func recordCodes() []Code {
	return []Code{
		{
			"check-without-temperature", "a check without the artifact's temperature", "Its readings are not stated as compensated, and without the temperature they cannot be brought to 20 °C.",
			"record the temperature that was noted; else check again", slices.Concat(of(lab, "6.4.10"), of(measures, "6.3.1")), "",
		},
		{
			"check-without-path", "a check without the path travelled", "The device's limit grows with the path, and without it the limit cannot be computed.",
			"record the path that was noted; else check again", of(lab, "6.4.10"), "",
		},
		{
			"initials-missing", "nobody is named", "The record does not say who did or decided it.",
			"let the person who did it record it again, as a correction", slices.Concat(of(lab, "8.4"), of(measures, "7.1.4")), "",
		},
		{
			"entered-late", "entered long after it was measured", "Between the measurement and its record lies so long that memory or a slip of paper stands between them.",
			"record at once; note in the record where it was written down meanwhile", of(lab, "8.4"), fmt.Sprintf("more than %d days: %s", lateDays, practice),
		},
		{
			"commit-time-doubtful", "a commit whose time cannot be right", "A commit states a time that other commits or records contradict.",
			"set the clock of the machine it was made on; say in a note when it was", of(lab, "8.4"), "",
		},
		{
			"past-incomplete", "the history is not whole", "The clone does not hold the whole past, and what was rewritten before it is not known.",
			"fetch the whole history, as with git fetch --unshallow", of(lab, "8.4"), "",
		},
	}
}

// upkeepCodes are about the register and what was agreed.
func upkeepCodes() []Code {
	return []Code{
		{
			"serial-twice", "one serial number twice", "Two devices or artifacts carry the same serial number: one of them is mistaken, and their histories may be mixed.",
			"read the serial numbers from the objects, and mend or merge the records", slices.Concat(of(lab, "6.4.13 b"), of(measures, "6.2.4")), "",
		},
		{
			"location-unknown", "no location, or none for a year", "The records never said where the device is, or said it last more than a year ago.",
			"look for it, and record a relocation event with the place", slices.Concat(of(lab, "6.4.13 d"), of(measures, "6.2.4")), fmt.Sprintf("more than %d days: %s", locationDays, practice),
		},
		{
			"interval-never-justified", "an interval that nobody ever justified", "An interval has run to its end, and no event says why it is as long as it is.",
			"plumbrule interval shows the evidence; record an interval-change event with the reason, also where the interval stays", slices.Concat(of(lab, "6.4.7"), of(measures, "7.1.2")), "",
		},
		{
			"rule-not-agreed", "a decision rule without agreement", "The procedure does not say when its decision rule was agreed.",
			"agree the rule before the work, and enter the day as agreed", of(lab, "7.8.6"), "",
		},
		{
			"rule-not-named", "no decision rule named", "Neither the procedure nor the site names a decision rule, and the default holds that nobody chose.",
			"name the rule in the procedure or in plumbrule.toml", of(lab, "7.8.6"), "",
		},
	}
}
