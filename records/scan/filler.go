package scan

import "math"

// filler puts the points a decoder finds into blocks and notes what belongs in the [Tally]. Every record of the file is
// to be given to it, in order, as a point or as invalid: a block holds those of [BlockPoints] records that are usable.
type filler struct {
	finds
	records int64 // given so far

	block  *Block
	room   int // records that still go into the block
	blocks int // handed on so far, whole or empty

	fetch func() (*Block, error) // gives a block to fill
	send  func(b *Block) error   // takes a filled one

	checkFirst func(xyz []float64) error // looks at the points of the first block; nil: nobody does
}

// point adds a record's coordinates, or counts it if one of them is not finite.
func (f *filler) point(x, y, z float64) error {
	if f.room == 0 {
		if err := f.turn(); err != nil {
			return err
		}
	}
	f.room--
	f.records++
	peak := max(math.Abs(x), math.Abs(y), math.Abs(z)) // NaN if one is
	if !(peak <= math.MaxFloat64) {
		f.noteNonFinite(f.records - 1)
		return nil
	}
	f.points++
	f.peak = max(f.peak, peak)
	f.block.XYZ = append(f.block.XYZ, x, y, z)
	return nil
}

// mark counts a record that the file itself marks as invalid.
func (f *filler) mark() error {
	if f.room == 0 {
		if err := f.turn(); err != nil {
			return err
		}
	}
	f.room--
	f.records++
	f.invalid++
	return nil
}

// turn hands the block on and begins the next.
func (f *filler) turn() error {
	if err := f.flush(); err != nil {
		return err
	}
	b, err := f.fetch()
	if err != nil {
		return err
	}
	f.begin(b)
	return nil
}

// begin goes on with an empty block.
func (f *filler) begin(b *Block) {
	if b.XYZ == nil {
		b.XYZ = make([]float64, 0, 3*BlockPoints)
	}
	b.Index = f.blocks
	b.XYZ = b.XYZ[:0]
	f.block = b
	f.room = BlockPoints
}

// flush hands the block on.
func (f *filler) flush() error {
	b := f.block
	if b == nil {
		return nil
	}
	if b.Index == 0 && f.checkFirst != nil {
		if err := f.checkFirst(b.XYZ); err != nil {
			return err
		}
	}
	f.block = nil
	f.room = 0
	f.blocks++
	return f.send(b)
}
