package records

import (
	"slices"
)

// stage is a step of loading that finds something to tell, in the order of
// loading.
type stage int

const (
	atSort stage = iota // about what lies in a folder
	atList              // about a folder that cannot be listed
	atRead
	atPlace // about what lies where it is not read
	atObjects
	atRecords
	atSerials
	atIDs
	atSpellings
	atReviews
	atCorrections
	atNumbers
	atInstants
	atStrays
	stages
)

// The levels of badness: a file is bad at one by errors of stages before that of
// untilStage.
const (
	badForObjects = iota // the checks of devices, artifacts and procedures leave it alone
	badForRecords        // those of other records as well
	badForPairs
	badForSet
)

func untilStage(level int) stage {
	return [...]stage{badForObjects: atObjects, badForRecords: atRecords, badForPairs: atNumbers, badForSet: stages}[level]
}

// tell keeps what a stage has found of a file, in place of what it had found
// before.
func (x *Index) tell(r *round, s stage, file string, list []Diagnostic) {
	if slices.EqualFunc(x.told[s][file], list, sameDiagnostic) {
		return
	}
	if len(list) == 0 {
		delete(x.told[s], file)
	} else {
		x.told[s][file] = list
	}
	r.retold[file] = true
	for level := range x.bad {
		bad := x.hasErrors(file, untilStage(level))
		if bad == x.bad[level][file] {
			continue
		}
		keep(x.bad[level], file, bad)
		keep(r.flips[level], file, !r.flips[level][file])
	}
}

func (x *Index) hasErrors(file string, until stage) bool {
	for s := range until {
		if HasErrors(x.told[s][file]) {
			return true
		}
	}
	return false
}

func sameDiagnostic(a, b Diagnostic) bool {
	return a.Code == b.Code && a.Severity == b.Severity && a.File == b.File && a.Position == b.Position &&
		a.Message == b.Message && a.Mend == b.Mend && a.Excerpt == b.Excerpt && slices.Equal(a.Related, b.Related)
}

// tellAll keeps what a stage has found of all files, in place of everything it
// had found before.
func (x *Index) tellAll(r *round, s stage, list []Diagnostic) {
	x.tellSome(r, s, list, func(string) bool { return true })
}

// tellSome is tellAll for the files that one may be told of.
func (x *Index) tellSome(r *round, s stage, list []Diagnostic, of func(file string) bool) {
	byFile := map[string][]Diagnostic{}
	for i := range list {
		byFile[list[i].File] = append(byFile[list[i].File], list[i])
	}
	for file := range x.told[s] {
		if byFile[file] == nil && of(file) {
			x.tell(r, s, file, nil)
		}
	}
	for file, told := range byFile {
		x.tell(r, s, file, told)
	}
}
