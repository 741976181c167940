package records

import (
	"slices"
	"strings"
)

// Code documents one diagnostic: what it means, how much it weighs, and what
// mends it. The list is the only home of these texts; help and reference pages
// are made from it.
type Code struct {
	ID       string
	Severity Severity
	Title    string
	Meaning  string
	Mend     string
}

// Codes returns every diagnostic code, sorted by name.
func Codes() []Code {
	list := slices.Concat(fileCodes(), nameCodes(), keyCodes(), referenceCodes(), consistencyCodes(), settingCodes())
	slices.SortFunc(list, func(a, b Code) int { return strings.Compare(a.ID, b.ID) })
	return list
}

// CodeOf returns the documentation of a code.
func CodeOf(id string) (Code, bool) {
	list := Codes()
	i, found := slices.BinarySearchFunc(list, id, func(c Code, id string) int { return strings.Compare(c.ID, id) })
	if !found {
		return Code{}, false
	}
	return list[i], true
}

func fileCodes() []Code {
	return []Code{
		{"site-missing", Error, "no plumbrule.toml", "The folder is not a records repository: the site's settings are not there.", "run plumbrule init in an empty folder, or name the repository with -C"},
		{"file-unreadable", Error, "a file that cannot be opened", "The file is there but the system would not let it be read.", "look at its permissions and at the disk"},
		{"file-too-large", Error, "a record larger than any record", "Records are written by people and are small; a large file in their place is something else, such as a scan.", "move scans and attachments out of the way and name them in the record"},
		{"symbolic-link", Error, "a link instead of a file", "One fact is one file. A link would count a fact twice or, after a clone, not at all.", "put the file or folder itself there"},
		{"link-outside", Error, "a link that leads out of the repository", "What lies outside is not under version control and differs between machines.", "put the file or folder itself there"},
		{"byte-order-mark", Warning, "a byte order mark at the start", "The file was written by an editor that marks UTF-8; other readers of TOML may refuse it.", "save the file as UTF-8 without byte order mark"},
		{"crlf-line-ends", Warning, "line ends of another system", "Lines end with carriage return and line feed; differences in version control become unreadable.", "save with line feeds only, or set text=auto in .gitattributes"},
		{"not-utf-8", Error, "text that is not UTF-8", "TOML is UTF-8 text; this file has other bytes (an older encoding, or UTF-16).", "save the file as UTF-8"},
		{"control-character", Error, "a control character", "A character that cannot be seen stands in the text.", "delete it, or write it as an escape in a string"},
		{"merge-conflict", Error, "a merge left unfinished", "Markers of a merge conflict stand in the file: two people's versions, neither chosen.", "choose one version, or keep both as two records, and delete the markers"},
		{"toml-syntax", Error, "text that is not TOML", "The file breaks the TOML 1.0 grammar.", "mend the marked place; strings need quotes, tables need brackets"},
		{"duplicate-key", Error, "a key written twice", "The same key stands twice in one table, and nothing says which one holds.", "delete one"},
		{"toml-1.1", Error, "a form of TOML 1.1", "Records are written in TOML 1.0, so that every reader can read them.", "write seconds in times, and inline tables on one line without a trailing comma"},
		{"too-deep", Error, "nesting beyond any record", "Arrays or tables are nested deeper than a record ever is.", "write the record as the reference shows"},
		{"readers-disagree", Error, "two readers read it differently", "This program's own reader and the TOML library read the file differently. Neither is trusted.", "write the value named in the plainest form, and report the file to the developers"},
	}
}

func nameCodes() []Code {
	return []Code{
		{"misplaced-record", Error, "a record where none can lie", "A record lies in a records folder, but not at the depth or under a name its kind has there, such as x.toml.bak; it is not read, and what it may be about cannot be judged: what its path and its text name, and everything where neither can be read.", "move it to where records of its kind lie, with the suffix .toml"},
		{"hidden-record", Warning, "a record under a hidden name", "A file in a records folder has the name that editors give to hidden and backup copies, and the record itself is not beside it; it is not read.", "give it its plain name if it is a record, move it away otherwise"},
		{"stray-file", Warning, "a file that is no record", "A file lies in a records folder, is no .toml file and is not named as attachment by a record; or a record lies in the repository's root. It is not read.", "move it, or name it in the record it belongs to"},
		{"stray-folder", Warning, "a folder that may be meant for records", "Its name is nearly that of a records folder, or records lie in it; nothing in it is read. Folders named templates or inbox, and hidden ones, may hold drafts.", "rename the folder"},
		{"bad-id", Error, "an id with other characters", "An id is a file name on every system: letters a-z and A-Z, digits, and - _ . inside.", "rename it, and mend what refers to it: letters a-z and A-Z, digits, and - _ . inside, at most 64"},
		{"name-mismatch", Error, "file name and content differ", "The path of a record repeats who, when and what, so that names sort by time; here it says something else than the record.", "rename the file, or mend the record"},
		{"duplicate-id", Error, "one id for two things", "A device and an artifact share an id, or two ids differ only in upper and lower case and are one file on some systems.", "rename one of them"},
	}
}

func keyCodes() []Code {
	return []Code{
		{"unknown-key", Error, "a key nobody reads", "The key is not one of this table's. Refused, since a misspelt key would be a fact silently lost.", "use the key suggested, or move the text to note"},
		{"missing-key", Error, "a key that must be there", "The record cannot be understood without it.", "add the key"},
		{"wrong-type", Error, "a value of another type", "The key expects another kind of value.", "write it as the message shows"},
		{"unknown-word", Error, "a word that is not in the list", "The key takes one of a few words.", "use one of the words listed"},
		{"missing-unit", Error, "a figure without its unit", "Every figure carries its unit; none is assumed.", "write the unit behind the figure"},
		{"unreadable-quantity", Error, "a quantity that cannot be read", "The text is not a quantity of the kind the key expects.", "write figure, blank, unit, as in the message"},
		{"out-of-range", Error, "a value outside physical sense", "No such value can occur: a reading that is not a number, a length of zero, a temperature no shop has, a certified value far from its nominal.", "look at sign, decimal point and unit"},
		{"bad-digest", Error, "a digest that is none", "A SHA-256 is 64 hexadecimal digits.", "write what sha256sum prints for the file"},
		{"bad-path", Error, "a path that leaves the repository", "Attachments are named by their path inside the repository, with forward slashes.", "write the path from the repository's root"},
	}
}

func referenceCodes() []Code {
	return []Code{
		{"unknown-device", Error, "no such device", "The record names a device that has no file.", "add devices/<id>.toml, or mend the id"},
		{"unknown-artifact", Error, "no such artifact", "The record names an artifact that has no file.", "add artifacts/<id>.toml, or mend the id"},
		{"unknown-procedure", Error, "no such procedure", "The record names a procedure that has no file.", "add procedures/<id>.toml, or mend the id"},
		{"unknown-job", Error, "no such job", "The record names a job that has no file.", "add jobs/<yyyy>/<id>.toml, or mend the id"},
		{"unknown-feature", Error, "no such feature", "The artifact has no feature of that name.", "use one of the artifact's features"},
		{"unknown-record", Error, "no such record", "The record refers to another one that is not there.", "mend the path; it is written from the repository's root"},
		{"unknown-time-zone", Error, "no such time zone", "Local dates need the site's zone, by its name in the tz database.", "write a name such as Europe/Berlin"},
		{"unknown-scan", Error, "no such scan", "A fit names a scan by its number, and the check has no scan of that number.", "number the scans from 1 in the order in which they stand in the check"},
		{"attachment-missing", Warning, "an attachment that is not there", "The record names a file that the repository does not hold as an ordinary file (it may lie in large-file storage, or be a link out of the repository).", "fetch or add the file"},
		{"attachment-differs", Error, "an attachment that is not the one recorded", "The size or the SHA-256 of the file is another than its record says: the file or the record was changed, and the evidence is not what was reviewed. Only validate compares them, since it has to read the files.", "restore the file, or record a correction that names the right one: amends"},
	}
}

func consistencyCodes() []Code {
	return []Code{
		{"duplicate-serial", Error, "two objects with one serial number", "Maker and serial number of two files are the same: one of them is mistaken, and their histories may be mixed.", "look at the labels and mend the one that is wrong"},
		{"duplicate-feature", Error, "a feature listed twice", "The same name stands for two things.", "rename or delete one"},
		{"duplicate-number", Warning, "a certificate entered twice", "Two certificates of one laboratory carry the same number for the same object and say the same.", "delete the second, or let it amend the first with a reason"},
		{"certificates-disagree", Error, "one certificate recorded in two ways", "Two records of one laboratory's certificate carry the same number for the same object and differ in dates, values or review, and nothing says which one holds.", "delete the one that is mistaken, or let it be amended by the other with a reason"},
		{"same-time", Warning, "two checks at the same second", "Two checks of one device by one procedure have the same time, and neither corrects the other. Which came last is not recorded, so that the graver of the two counts.", "correct the time that is mistaken, or let one record amend the other with a reason"},
		{"future-date", Error, "a date that has not come yet", "The record says it was measured or entered after the instant evaluated.", "look at year and time zone"},
		{"entered-too-early", Error, "entered before it happened", "A record cannot be entered before what it reports.", "mend the one that is mistaken"},
		{"dates-out-of-order", Error, "dates in an order that cannot be", "An end before its beginning, a review before the certificate, a receipt before the issue.", "mend the one that is mistaken"},
		{"path-missing", Error, "no path for a limit that counts the path", "The device's limit grows with the path travelled while measuring; without it the limit cannot be computed.", `add path = "… m" to the reading`},
		{"path-too-short", Error, "a path shorter than the distance", "One cannot travel from one centre to another on a way shorter than the straight one.", "look at the unit of the path"},
		{"limit-missing", Error, "nothing to judge against", "The device has no limit for this quantity at this length.", "add a [[limit]] to the device, or leave the feature out of the procedure"},
		{"limits-overlap", Error, "two limits for the same thing", "Two limits of a device cover the same quantity and length, and nothing says which one holds.", "part them with over and up-to"},
		{"temperature-missing", Error, "no temperature of the artifact", "Readings that are not stated as compensated need the artifact's temperature and its uncertainty (ISO 1: lengths are those at 20 °C).", "add [conditions] with artifact-temperature and temperature-uncertainty, or compensated = true if the device did it"},
		{"unit-doubtful", Error, "readings that look like another unit", "The readings are far from the feature's nominal value.", "look at unit, decimal point and feature name"},
		{"artifact-kind", Error, "another kind of artifact", "The procedure is written for another kind of artifact.", "use the procedure written for it"},
		{"feature-not-asked", Warning, "a feature the procedure does not ask", "The reading is judged, but no chart is kept of what is not done every time.", "add the feature to the procedure, or leave the reading out"},
		{"reading-missing", Warning, "less than the procedure asks", "A feature, or a repeat of it, that the procedure asks was not measured.", "measure it, or say in note why not"},
		{"same-scan", Error, "one scan counted twice", "Two scans of a check are one file. A repeat is a new measurement; one cloud of points fitted twice shows no scatter of the device.", "name the other file, or leave out the value that is no measurement of its own"},
		{"fit-without-reading", Error, "a fit of something not read", "A fit says how a value was found, and the check has no reading of its feature, nor of a distance that ends there.", "add the reading, or leave the fit out"},
		{"fit-missing", Error, "a value without its fit", "Some values of a feature come with their fit and some without, so that it is not known how far these can be trusted.", "add the fit, or leave the fits of the feature out if its values were typed"},
		{"scans-miscounted", Error, "values and scans that do not pair", "The values of a fitted feature come one from each scan, in the scans' order; here there are more of the one than of the other.", "add what is missing, or take out what is too many"},
		{"amends-other", Error, "an amendment of something else", "A correction replaces a record of the same kind and object.", "name the record it corrects"},
		{"amended-twice", Error, "two corrections of one record", "Two records amend the same one, and nothing says which holds.", "let the later amend the earlier"},
		{"reason-missing", Error, "no reason given", "A correction, extension, limitation, withdrawal or sending back needs its reason and author.", `add reason = "…"`},
		{"reviewed-twice", Error, "two reviews of one certificate", "The certificate carries a review and an event reviews it again, or two events do.", "let the later amend the earlier"},
		{"case-not-opened", Error, "a step of a case that nothing opens", "A step belongs to a case, and none of the case's records opens it: what was found, and about what, is not known.", "record the step opened, or mend the name of the case"},
		{"case-opened-twice", Error, "one case opened twice", "Two records open one case, and nothing says which finding it is about.", "give one of them a case of its own, or let the later amend the earlier"},
		{"scope-exceeded", Warning, "outside the laboratory's scope", "The certificate states a value for a quantity, or at a length, that its stated accreditation does not cover.", "ask the laboratory, and settle it in the review"},
		{"record-exists", Error, "a record of that name is there", "Nothing recorded is rewritten.", "record a correction that names it: amends"},
	}
}
