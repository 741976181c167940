package card

import (
	"image/color"

	"github.com/boombuler/barcode/qr"
)

// The narrowest module that phones read safely off paper, and the quiet zone of ISO/IEC 18004 in modules.
const (
	leastModuleMM = 0.35
	quietModules  = 4
)

// modules returns the dark modules of the code for a text, row by row, without the quiet zone; error correction M.
func modules(text string) ([][]bool, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, err
	}
	n := code.Bounds().Dx()
	rows := make([][]bool, n)
	for y := range rows {
		rows[y] = make([]bool, n)
		for x := range rows[y] {
			grey, _ := color.GrayModel.Convert(code.At(x, y)).(color.Gray)
			rows[y][x] = grey.Y < 128
		}
	}
	return rows, nil
}
