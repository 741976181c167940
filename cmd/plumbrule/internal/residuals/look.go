package residuals

import "fmt"

// role is what a mark is for; its name is also its class in the style sheet.
type role string

const (
	ground  role = "ground"
	title   role = "title"
	summary role = "summary"
	heading role = "heading"
	common  role = "common"
	quiet   role = "quiet"
	warning role = "warning"
	degrees role = "degrees"
	rule    role = "rule"

	mask    role = "mask"    // around a map
	rim     role = "rim"     // of a map
	bin     role = "bin"     // of the residuals of all points
	circles role = "circles" // of equal polar angle, and meridians
	pointer role = "pointer"
	weak    role = "weak"   // sign on a cell of medium colour
	strong  role = "strong" // sign on a cell of strong colour
	behind  role = "behind" // what sets a cross off from its cell
	crossed role = "crossed"

	ball      role = "ball"
	beam      role = "beam"
	figure    role = "figure"
	dimension role = "dimension"
)

// classes is the number of colours on either side of zero; each is worth half a standard deviation.
const classes = 6

// shade is the role of a cell of class ±1 to ±classes.
func shade(class int) role {
	if class < 0 {
		return role(fmt.Sprintf("below%d", -class))
	}
	return role(fmt.Sprintf("above%d", class))
}

// ink names a colour of a palette.
type ink int

const (
	inkNone ink = iota
	inkPaper
	inkText
	inkFaded
	inkHair
	inkFill
	inkAlarm
	inkMedium // signs on cells of medium colour
	inkDeep   // signs on cells of strong colour
	firstShade
	inks = firstShade + 2*classes // not a colour: how many there are
)

// shadeInk is the colour of a class.
func shadeInk(class int) ink {
	if class < 0 {
		return firstShade + ink(-class-1)
	}
	return firstShade + ink(classes+class-1)
}

// palette has a colour for each ink, as 0xRRGGBB.
type palette [inks]uint32

// newPalette joins the common inks and the shades of cells, from the class next to zero outwards.
func newPalette(common [firstShade]uint32, below, above [classes]uint32) palette {
	var p palette
	copy(p[:], common[:])
	for i := range classes {
		p[shadeInk(-1-i)], p[shadeInk(1+i)] = below[i], above[i]
	}
	return p
}

// light is for screens and for PNG. The shades run from blue over white to orange, a pair that the common kinds of colour
// blindness keep apart; both ends darken alike, so that grey shows the size, and signs show the direction.
func light() palette {
	return newPalette([firstShade]uint32{
		inkPaper: 0xffffff, inkText: 0x16181a, inkFaded: 0x4d5358, inkHair: 0xc3cbd1, inkFill: 0xe6ebf0, inkAlarm: 0xb0281a,
		inkMedium: 0x16181a, inkDeep: 0xffffff,
	}, [classes]uint32{0xd9e7f3, 0xb3d0e9, 0x84b1db, 0x4f8dc3, 0x2667a3, 0x0d3f75}, [classes]uint32{0xf8e3cc, 0xf3c596, 0xe7a05d, 0xcf7423, 0xa34d0b, 0x6f3004})
}

// dark turns lightness round: what is strong stands out from a dark ground.
func dark() palette {
	return newPalette([firstShade]uint32{
		inkPaper: 0x14171a, inkText: 0xeceff1, inkFaded: 0xb4bcc2, inkHair: 0x4a535b, inkFill: 0x232a31, inkAlarm: 0xff8f7d,
		inkMedium: 0xffffff, inkDeep: 0x14171a,
	}, [classes]uint32{0x26394b, 0x2f4f70, 0x396a98, 0x5590c4, 0x84b7e2, 0xc2e0fb}, [classes]uint32{0x463524, 0x674623, 0x8b5a22, 0xbc8037, 0xe2aa62, 0xffdcab})
}

// onPaper is for print: light, and what is grey on a screen black.
func onPaper() palette {
	p := light()
	p[inkText], p[inkFaded], p[inkMedium] = 0, 0, 0
	return p
}

// maskWidth is the width of the ring around a map, the diagonal of a cell.
const maskWidth = 10

// look is how marks of a role are painted.
type look struct {
	role         role
	fill, stroke ink     // inkNone: not filled, no line
	width        float64 // of the line in pixels
	size         float64 // of letters in pixels
	bold         bool
	halo         bool // letters stand on an edge of paper, to be read on cells
}

// looks lists every role once, in the order of the style sheet.
func looks() []look {
	all := []look{
		{role: ground, fill: inkPaper},
		{role: title, fill: inkText, size: 17, bold: true},
		{role: summary, fill: inkText, size: 13},
		{role: heading, fill: inkText, size: 13, bold: true},
		{role: common, fill: inkText, size: 11},
		{role: quiet, fill: inkFaded, size: 11},
		{role: warning, fill: inkAlarm, size: 11, bold: true},
		{role: degrees, fill: inkText, size: 10, halo: true},
		{role: figure, fill: inkText, size: 11, halo: true},
		{role: rule, stroke: inkHair, width: 1},
		{role: bin, fill: inkHair},
		{role: mask, stroke: inkPaper, width: maskWidth},
		{role: rim, stroke: inkFaded, width: 1.5},
		{role: circles, stroke: inkFaded, width: 0.75},
		{role: pointer, stroke: inkText, width: 1.5},
		{role: weak, stroke: inkMedium, width: 1},
		{role: strong, stroke: inkDeep, width: 1},
		{role: behind, stroke: inkPaper, width: 3},
		{role: crossed, stroke: inkAlarm, width: 1.25},
		{role: ball, fill: inkFill, stroke: inkText, width: 1.5},
		{role: beam, stroke: inkHair, width: 4},
		{role: dimension, stroke: inkFaded, width: 1},
	}
	for class := 1; class <= classes; class++ {
		all = append(all, look{role: shade(-class), fill: shadeInk(-class)}, look{role: shade(class), fill: shadeInk(class)})
	}
	return all
}
