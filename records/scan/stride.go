package scan

import (
	"context"
	"sync"
)

// chunkBytes is how much of a file is read at a time, less what is left of a record.
const chunkBytes = 1 << 18

// fixedStride reads records of constant length from content that can be read by offset, several blocks at a time.
type fixedStride struct {
	in     *input
	noun   string // what the format calls a point
	start  int64  // offset of the first record
	count  int64  // of records; the caller has compared it with the size
	layout layout
}

func (s *fixedStride) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	m := how.meter(s.in)
	m.add(s.start)
	f, err := s.find(ctx, how, m, visit)
	if err != nil {
		return Tally{}, err
	}
	t, err := f.tally(s.in, s.noun)
	t.Step = s.layout.step(f.peak)
	return t, err
}

// find passes over the records and returns what there was.
func (s *fixedStride) find(ctx context.Context, how Reading, m *meter, visit func(b *Block) error) (finds, error) {
	var mu sync.Mutex
	var all finds
	blocks := int((s.count + BlockPoints - 1) / BlockPoints)
	err := eachBlock(ctx, how.Workers, blocks, func() func(block int) error {
		w := &strideWorker{fixedStride: s, meter: m}
		return func(block int) error {
			w.finds = finds{}
			err := w.do(block, visit)
			mu.Lock()
			defer mu.Unlock()
			all.merge(&w.finds)
			return err
		}
	})
	return all, err
}

// strideWorker is one goroutine's share of a pass, with its buffers.
type strideWorker struct {
	*fixedStride
	finds
	meter *meter
	raw   []byte
	xyz   []float64
}

// do reads one block and has it visited.
func (w *strideWorker) do(block int, visit func(b *Block) error) error {
	record := int64(block) * BlockPoints
	records := int(min(BlockPoints, w.count-record))
	stride := w.layout.stride
	if w.xyz == nil {
		w.raw = make([]byte, min(max(chunkBytes/stride, 1), records)*stride)
		w.xyz = make([]float64, 3*records)
	}
	xyz := w.xyz[:3*records]
	finite := true
	for from := 0; from < records; {
		n := min(records-from, len(w.raw)/stride)
		raw := w.raw[:n*stride]
		if err := w.in.readAt(raw, w.start+(record+int64(from))*int64(stride)); err != nil {
			return err
		}
		w.meter.add(int64(len(raw)))
		all, peak := w.layout.decode(xyz[3*from:3*(from+n)], raw)
		finite = finite && all
		if all {
			w.peak = max(w.peak, peak)
		}
		from += n
	}
	if !finite {
		xyz = w.dropNonFinite(xyz, record)
	}
	if block == 0 {
		if err := w.in.checkOrder(xyz, &w.layout, w.start); err != nil {
			return err
		}
	}
	w.points += int64(len(xyz) / 3)
	if len(xyz) == 0 {
		return nil
	}
	return visit(&Block{Index: block, XYZ: xyz})
}

// checkOrder looks at the first coordinates of a file, whose data begin at an offset.
func (in *input) checkOrder(xyz []float64, l *layout, data int64) error {
	if !orderSwapped(xyz, l.xyz[0].kind) {
		return nil
	}
	said, other := "little", "big"
	if l.big {
		said, other = other, said
	}
	return in.fault(byteAt(data), "save it again with the byte order it states",
		"the byte order looks wrong: read as %s-endian, as stated, most coordinates are absurd, read as %s-endian they are not", said, other)
}
