package calendar

const (
	// zoneEdition is the edition of the IANA database in zoneinfo.zip.
	zoneEdition = "2025c"
	// zoneDigest is the SHA-256 of the zoneinfo.zip that has this edition.
	zoneDigest = "8f55634d05f8bca1f7bc7c69c5933428c69357e0bdf565e5ba224e3f88ff12e8"
)

// ZoneEdition names the edition of the time zone database inside the program,
// such as "2025c".
func ZoneEdition() string { return zoneEdition }
