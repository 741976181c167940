package scan

import (
	"context"
	"io"
)

// BlockPoints is the largest number of points in a [Block].
const BlockPoints = 1 << 14

// Cloud is an opened scan: where its points lie in the file, and how to read them. It is safe to be read from several
// goroutines at a time if its file is.
type Cloud struct {
	Head Head

	blocks blockReader
}

// Head is what a file says of itself before its points are read.
type Head struct {
	Format     string // for people: "PLY, binary little-endian"
	Compressed bool   // by gzip
	Unit       string // "m" where the format defines the unit; empty: the user has to say

	// Declared is the number of points the file promises; -1: it does not say, or it is a mesh whose vertices repeat.
	Declared int64
	Single   bool // coordinates are stored in single precision (32 bits)
	Mesh     bool // the points are vertices of facets, with areas for weights if the format has them
}

// Block is a run of points in the order of the file. It is valid until the visit it was given to returns.
type Block struct {
	Index  int       // of the block, from 0; blocks are cut alike in every pass
	XYZ    []float64 // x, y, z of each point, in the file's unit; all finite
	Weight []float64 // one for each point: the area around a vertex of a mesh, unit squared; nil where all count alike
}

// Len returns the number of points.
func (b *Block) Len() int { return len(b.XYZ) / 3 }

// Tally is what a whole pass found.
type Tally struct {
	Points int64 // given to visit
	Facets int64 // of a mesh

	// Left out: points with a coordinate that is not finite, and points the file itself marks as invalid. FirstNonFinite
	// is the first of the former, counted from 0 among all points of the file.
	NonFinite, FirstNonFinite int64
	Invalid                   int64

	// Step is the place value of the last digit that text coordinates were printed with, at the largest coordinate, or
	// the spacing of single precision numbers there, in the file's unit; 0: double precision, finer than it matters.
	Step float64

	// Warnings are what should be said beside a result, whole sentences without the file's name.
	Warnings []string
}

// Options say how to open a file.
type Options struct {
	// Name is the file's name, for its suffix and for errors. The content decides about the format where it can; the
	// suffix only tells the formats without a mark of their own.
	Name string
}

// Open looks at the head of a scan of size bytes. The reader must give the same bytes for as long as the cloud is used.
//
// An [*Error] tells what is wrong and where; other errors are the reader's own.
func Open(file io.ReaderAt, size int64, o Options) (*Cloud, error) {
	return open(file, size, o)
}

// Reading says how a pass over the points goes.
type Reading struct {
	Workers  int                     // goroutines that decode and visit; at least one is used
	Progress func(done, total int64) // bytes of the file, now and then, from one goroutine at a time; nil: nobody asks
}

// Read passes over all points once and calls visit for each block: concurrently if there is more than one worker, and then
// in any order. What depends on the order is to be combined by [Block.Index]. The first error of the file or of a visit
// ends the pass and is returned; of the file's errors the first in the file.
func (c *Cloud) Read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	return c.blocks.read(ctx, how, visit)
}

// blockReader passes over the points of one format. Every pass gives the same blocks, whatever the number of workers.
type blockReader interface {
	read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error)
}
