package trace

// GapCode documents one kind of gap: what it means, what mends it, and which
// clause it is about. Clauses are named from memory but for 6.4.13 and 8.4.
type GapCode struct {
	ID      string
	Title   string
	Meaning string
	Mend    string
	Clause  string
}

const (
	standardName = "ISO/IEC 17025:2017, "
	chainClause  = standardName + "6.5.1"
	labClause    = standardName + "6.5.2 and annex A"
	reviewClause = standardName + "6.6"
	usedClause   = standardName + "6.4.11"
	showsClause  = standardName + "6.4.13 c"
	recordClause = standardName + "8.4"
)

// GapCodes lists every kind of gap, from the figure to the reference.
func GapCodes() []GapCode {
	return append(figureGaps(), referenceGaps()...)
}

// CodeOf returns the documentation of a gap code.
func CodeOf(id string) (GapCode, bool) {
	for _, c := range GapCodes() {
		if c.ID == id {
			return c, true
		}
	}
	return GapCode{}, false
}

func figureGaps() []GapCode {
	return []GapCode{
		{"step-unreadable", "a record cannot be used", "A record that the chain leads through or may lead through cannot be read, or contradicts another.", "run validate and mend the file", recordClause},
		{"record-corrected", "a corrected record", "The record was corrected by a later one, and nothing rests on it.", "trace what the correcting record says", standardName + "7.5.2"},
		{"device-unlisted", "a device that no list knows", "The job names a device that has no record.", "add devices/<id>.toml, or mend the id in the job", standardName + "6.4.13 a and b"},
		{"limit-unstated", "no limit for the figure", "No device of the job has a maximum permissible error for the quantity at that length.", "add a [[limit]] to the device that measured it, or name that device in the job", standardName + "6.4.5"},
		{"path-unstated", "no path for a limit that counts it", "The limit grows with the path travelled, and the job does not state its longest.", "record a correction of the job that states the path", standardName + "6.4.5"},
		{"device-not-fit", "the device was not fit", "On a day of the job, or at the instant asked about, the device was not allowed to measure the quantity at that length.", "look at the device's reasons on that day; measure again with a fit device, or decide and record what the figure is worth", standardName + "6.4.9"},
		{"job-in-doubt", "the figure is in doubt", "A later failure of the device throws doubt on the job.", "look at the job: its tolerance, its length and path, and the error found", standardName + "7.10"},
		{"evidence-missing", "nothing shows the limit to be kept", "No check and no certificate in force at that time shows that the device kept its limit.", "check the device by a procedure that measures the quantity", showsClause},
		{"range-uncovered", "evidence over shorter lengths only", "The limit grows with a length, and no evidence was found over a length as long as the figure's.", "check the device over at least that length or path", showsClause},
		{"check-no-evidence", "a check that is no evidence", "A reading of the check could not be judged.", "see the reason given; check again", standardName + "6.4.10"},
		{"adjusted-since", "adjusted after its calibration", "The device was adjusted or repaired after the calibration, whose errors are not those of the device as it was left.", "have it calibrated; until then checks alone show how it measures", standardName + "6.4.13 e"},
		{"artifact-unsound", "an artifact not to be relied on", "At the time of the check the artifact was in doubt, out of service, or repaired and not calibrated since.", "have the artifact calibrated and check again", standardName + "6.4.9"},
	}
}

func referenceGaps() []GapCode {
	return []GapCode{
		{"certificate-missing", "no certificate in force", "No accepted certificate was in force at that time.", "enter the certificate and review it, or have it calibrated", standardName + "6.4.6 and 6.4.13 f"},
		{"never-reviewed", "a certificate never reviewed", "The certificate was entered and not reviewed, and is not in force.", "review it: right item, every feature, U, laboratory and scope", reviewClause},
		{"sent-back", "a certificate sent back", "The certificate was refused at its review, and is not in force.", "wait for the corrected one, and review it", reviewClause},
		{"certificate-not-yet", "a certificate not yet in force", "The certificate was accepted, or the calibration made, only after that time.", "none for the past: use the value that was in force, or treat the figure as unproven", usedClause},
		{"certificate-expired", "a certificate out of its interval", "The calibration interval had ended at that time.", "have it calibrated, and check or measure again", standardName + "6.4.7 and 6.4.8"},
		{"feature-not-covered", "a certificate that does not cover the feature", "The certificate in force has no value for the feature, or was not accepted for its quantity.", "use a certified feature, or have it certified", chainClause},
		{"uncertainty-incomplete", "U or k not stated", "The certificate's figure has no expanded uncertainty U with its coverage factor k, or one of zero.", "enter U and k as the certificate states them, or ask the laboratory", standardName + "6.5.1 and 7.8.4"},
		{"accreditation-missing", "no accreditation stated", "The record names no accreditation of the laboratory; whether it is competent is not shown.", "enter the number if the certificate bears it; else have it calibrated by an accredited laboratory, or keep proof of the laboratory's competence", labClause},
		{"scope-missing", "the laboratory's scope not stated", "The record does not say which quantities and ranges the accreditation covers.", "look the scope up as it was on that day, and enter scope and [[scope-range]]", labClause},
		{"outside-scope", "outside the laboratory's scope", "A figure of the certificate is of a quantity, or at a length, that the stated scope does not cover.", "ask the laboratory; have it calibrated by one whose scope covers it", labClause},
		{"reference-missing", "no reference stated", "The record does not say what the certificate is traceable to.", "enter what the certificate says as traceability, or ask the laboratory", standardName + "6.5.1 and 7.8.4"},
		{"standard-expired", "a standard of the laboratory out of its interval", "The certificate names a measurement standard whose own calibration had ended on the day of the calibration.", "ask the laboratory", chainClause},
		{"file-unnamed", "the certificate itself not kept", "The record names no file of the certificate as it came.", "put the certificate into the repository and name it as [attachment] in a correction", recordClause},
		{"file-missing", "a file that is not there", "The file that the record names is not in the repository as an ordinary file.", "fetch or add the file", recordClause},
		{"file-differs", "a file that is not the one recorded", "The file's SHA-256 is another than the record says: the file or the record was changed.", "restore the file from the repository's history", recordClause},
		{"file-outside", "a file outside the repository", "The path, or a link on it, leads out of the repository; what lies there was not looked at.", "put the file itself into the repository", recordClause},
		{"file-unseen", "a file not looked at", "The file was not compared with its SHA-256.", "see the reason given", recordClause},
	}
}
