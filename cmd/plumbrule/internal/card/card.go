package card

import (
	"fmt"
	"strings"
)

// Card is what stands on a card. Texts are foreign and are made safe when they are drawn.
type Card struct {
	Site    string   // who keeps the records
	Device  string   // id
	About   []string // kind, maker and model, serial number
	Fitness string   // fit, limited, unfit or unknown
	Day     string   // on which it was that
	Use     string   // limits of use, in a sentence
	Due     []string // what falls due and when, a line each
	Printed string   // on which day
	Record  string   // path of the device's record inside the records
	At      string   // the instant judged for, RFC 3339
	Commit  string   // of the records; empty: they are not committed as they are
}

// Code returns what the code on the card says, in four lines: a name with the version of this form, the path of the
// record, the commit or that there is none, and the instant judged for. With it
//
//	git checkout COMMIT && plumbrule status DEVICE --at INSTANT
//
// in the records shows how the status came about.
func (c Card) Code() string {
	return strings.Join([]string{"plumbrule card 1", c.Record, c.committed(), "at " + c.At}, "\n")
}

func (c Card) committed() string {
	if c.Commit == "" {
		return NotCommitted
	}
	return "commit " + c.Commit
}

// NotCommitted stands on a card, and in its code, where no commit holds the records as they are.
const NotCommitted = "not committed"

// Size is how large a card is, in millimetres.
type Size struct{ WidthMM, HeightMM float64 }

// DefaultSize is that of an identity card, ID-1 of ISO/IEC 7810.
func DefaultSize() Size { return Size{85.6, 54} }

// The least and the largest card.
const (
	leastWidthMM, leastHeightMM     = 50, 30
	largestWidthMM, largestHeightMM = 190, 277 // what A4 with a margin of 10 mm holds
)

// ParseSize reads a size such as 85.6x54, in millimetres.
func ParseSize(text string) (Size, error) {
	var s Size
	plain := strings.NewReplacer("×", "x", " ", "", "mm", "").Replace(text)
	if n, err := fmt.Sscanf(plain+"|", "%gx%g|", &s.WidthMM, &s.HeightMM); err != nil || n != 2 {
		return s, fmt.Errorf("%q, expected width and height in millimetres, such as 85.6x54", text)
	}
	if !(s.WidthMM >= leastWidthMM && s.WidthMM <= largestWidthMM && s.HeightMM >= leastHeightMM && s.HeightMM <= largestHeightMM) {
		return s, fmt.Errorf("%q, expected a width from %d mm to %d mm and a height from %d mm to %d mm", text, leastWidthMM, largestWidthMM, leastHeightMM, largestHeightMM)
	}
	return s, nil
}

func (s Size) String() string { return fmt.Sprintf("%g mm × %g mm", s.WidthMM, s.HeightMM) }

// FitError says that a card is too small for what must stand on it.
type FitError struct {
	Device string
	What   string // has no room or cannot be read
	How    string // it fails
	Size   Size
}

func (e *FitError) Error() string {
	return fmt.Sprintf("%s of %s %s on a card of %s, expected a larger one", e.What, e.Device, e.How, e.Size)
}
