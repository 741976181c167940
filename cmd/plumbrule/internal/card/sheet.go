package card

import (
	"fmt"
	"io"
	"math"
)

// The sheet is A4 (ISO 216) with room for cutting marks.
const (
	sheetWidthMM, sheetHeightMM = 210.0, 297.0
	sheetMargin                 = 10.0
)

func (s Size) grid() (across, down int) {
	const rounding = 1e-9
	return int((sheetWidthMM-2*sheetMargin)/s.WidthMM + rounding), int((sheetHeightMM-2*sheetMargin)/s.HeightMM + rounding)
}

// PerSheet returns how many cards of a size an A4 sheet holds.
func (s Size) PerSheet() int {
	across, down := s.grid()
	return across * down
}

// Sheets returns how many sheets so many cards take.
func (s Size) Sheets(cards int) int { return int(math.Ceil(float64(cards) / float64(s.PerSheet()))) }

// Sheet draws one A4 sheet of cards, edge to edge, with cutting marks in the margin. There are at most PerSheet of them.
func Sheet(w io.Writer, cards []Card, s Size) error {
	across, down := s.grid()
	if len(cards) > across*down {
		return fmt.Errorf("%d cards on a sheet that holds %d", len(cards), across*down)
	}
	var body canvas
	body.add(`<rect width="%s" height="%s" fill="#fff"/>`, mm(sheetWidthMM), mm(sheetHeightMM))
	left, top := (sheetWidthMM-float64(across)*s.WidthMM)/2, sheetMargin
	used := int(math.Ceil(float64(len(cards)) / float64(across)))
	for i := range across + 1 {
		x := left + float64(float64(i)*s.WidthMM)
		for _, y := range []float64{top - 5, top + float64(float64(used)*s.HeightMM) + 1} {
			body.add(`<path d="M%s %sv4" stroke="#000" stroke-width="0.15"/>`, mm(x), mm(y))
		}
	}
	for j := range used + 1 {
		y := top + float64(float64(j)*s.HeightMM)
		for _, x := range []float64{left - 5, left + float64(float64(across)*s.WidthMM) + 1} {
			body.add(`<path d="M%s %sh4" stroke="#000" stroke-width="0.15"/>`, mm(x), mm(y))
		}
	}
	for i, c := range cards {
		body.add(`<g transform="translate(%s %s)">`, mm(left+float64(float64(i%across)*s.WidthMM)), mm(top+float64(float64(i/across)*s.HeightMM)))
		if err := body.card(c, s); err != nil {
			return err
		}
		body.add(`</g>`)
	}
	return page(w, Size{sheetWidthMM, sheetHeightMM}, fmt.Sprintf("status cards, %d", len(cards)), body.String())
}
