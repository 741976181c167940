package scan

import "context"

// mesh reads the distinct vertices of a file that repeats them. What the first pass gathered is kept for the others, since
// it takes the place of the points and not that of the facets.
type mesh struct {
	in   *input
	load func(ctx context.Context, in *input, m *meter, out *facets) error

	turn chan *facets // holds one, nil before the first pass: who has taken it gathers or waits for nobody
}

func newMesh(in *input, load func(ctx context.Context, in *input, m *meter, out *facets) error) *mesh {
	m := &mesh{in: in, load: load, turn: make(chan *facets, 1)}
	m.turn <- nil
	return m
}

func (s *mesh) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	all, err := s.gather(ctx, how)
	if err != nil {
		return Tally{}, err
	}
	weighted := all.area > 0
	err = eachBlock(ctx, how.Workers, len(all.vertices.pages), func() func(block int) error {
		var b Block
		return func(block int) error {
			p := all.vertices.pages[block]
			n := min(int(all.vertices.n)-block*BlockPoints, BlockPoints)
			b.Index = block
			b.XYZ = append(b.XYZ[:0], p.xyz[:3*n]...) // a copy, as a visit may alter it
			if weighted {
				b.Weight = append(b.Weight[:0], p.weight[:n]...)
			}
			return visit(&b)
		}
	})
	if err != nil {
		return Tally{}, err
	}
	f := all.finds
	f.points = int64(all.vertices.n)
	if f.facets == 0 {
		return Tally{}, s.in.empty("facet")
	}
	t, err := f.tally(s.in, "corner", all.warnings...)
	if err != nil {
		return Tally{}, err
	}
	if !weighted {
		t.Warnings = append(t.Warnings, "All facets have no area, so that their vertices count alike.")
	}
	t.Step = all.step(f.peak)
	return t, nil
}

// gather returns what the file holds, from the first pass that could read it.
func (s *mesh) gather(ctx context.Context, how Reading) (*facets, error) {
	var all *facets
	select {
	case all = <-s.turn:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	m := how.meter(s.in)
	if all != nil {
		s.turn <- all
		m.add(s.in.bytes)
		return all, nil
	}
	all = &facets{in: s.in}
	if err := s.load(ctx, s.in, m, all); err != nil {
		s.turn <- nil
		return nil, err
	}
	s.turn <- all
	return all, nil
}
