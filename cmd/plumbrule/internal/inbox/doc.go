// Package inbox takes in what is dropped into the folder inbox of a records
// repository: scans and exports, each of which becomes the record of a check.
//
// A file is taken in when it has stood still, or when <file>.done lies beside
// it. What it is, a sidecar says, <file>.toml, or a pattern of file names of the
// site's settings, or both. Files that are to become no record, and why, lie in
// inbox/refused afterwards.
//
// Whatever the moment at which the program or the machine stops, a dropped file
// is taken in once. What is about to be done is first written down, in the state
// directory, as an intent; then the originals go to their archive, the record is
// written, the originals leave the inbox, and the intent is deleted. Each of
// these steps can be done twice without harm, and none before the one in front of
// it is on the disk. An intent that is found is carried out to its end. Without
// the state directory the records themselves tell, by the SHA-256 they name,
// what was taken in before.
package inbox
