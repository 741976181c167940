package sphere

// Reason tells apart why a scan gives no result.
type Reason string

// The reasons.
const (
	BadRequest    Reason = "bad-request"    // what is wanted contradicts itself
	NoPoints      Reason = "no-points"      // the scan has no usable points
	NoSphere      Reason = "no-sphere"      // no sphere of the size wanted
	OtherUnit     Reason = "other-unit"     // there are such spheres if the numbers are in another unit
	WrongArtifact Reason = "wrong-artifact" // there are spheres, of another size or at other distances
	TooFew        Reason = "too-few"        // fewer spheres than wanted
	TooMany       Reason = "too-many"       // more than one way to find the artifact: two of them, or other balls of its size
)

// Error says why a scan gives no result.
type Error struct {
	Reason Reason
	Found  string // what is there, and what was expected
	Mend   string // what would mend it
	Unit   string // with [OtherUnit]: the unit that fits
}

// Error puts the remedy behind the fault.
func (e *Error) Error() string {
	if e.Mend == "" {
		return e.Found
	}
	return e.Found + "; " + e.Mend
}
