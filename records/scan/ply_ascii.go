package scan

import (
	"context"
	"errors"
	"io"
)

// unfinishedLine is the warning for text whose last line has no end.
const unfinishedLine = "The last line of the file has no line end, as if the file had been cut there."

// plyText reads an ASCII file, in which each record has a line of its own.
type plyText struct{ *plyHeader }

func (p *plyText) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	src, err := p.in.stream(ctx, p.data, how.meter(p.in))
	if err != nil {
		return Tally{}, err
	}
	l := p.in.lines(src, p.data, p.lines)
	var found rowsFound
	for i := range p.elements {
		e := &p.elements[i]
		if i == p.vertex {
			found, err = p.vertices(ctx, how.Workers, e, l, visit)
		} else {
			err = p.pass(e, l)
		}
		if err != nil {
			return Tally{}, err
		}
	}
	if err := p.nothingElse(l); err != nil {
		return Tally{}, err
	}
	for i := range p.elements {
		if p.elements[i].name == "face" {
			found.facets += p.elements[i].count
		}
	}
	var warnings []string
	if l.unfinished || found.unfinished {
		warnings = append(warnings, unfinishedLine)
	}
	t, err := found.tally(p.in, "vertex", warnings...)
	t.Step = found.digits.step()
	return t, err
}

// vertices reads as many lines as the header announces: whole blocks at once, and what is left one by one.
func (p *plyText) vertices(ctx context.Context, workers int, e *plyElement, l *lines, visit func(b *Block) error) (rowsFound, error) {
	parser := e.vertexParser
	found, err := p.in.rows(ctx, workers, l, e.count, parser, visit)
	if err != nil {
		return found, err
	}
	var b Block
	out := &filler{
		finds: found.finds, records: found.records, blocks: found.blocks,
		fetch: func() (*Block, error) { return &b, nil },
		send: func(b *Block) error {
			if b.Len() == 0 {
				return nil
			}
			return visit(b)
		},
	}
	parse := parser()
	for out.records < e.count {
		line, err := l.read()
		if errors.Is(err, io.EOF) {
			return found, p.shortText(e, l, out.records)
		}
		if err != nil {
			return found, err
		}
		if err := parse(line, l, &found.digits, out); err != nil {
			return found, err
		}
	}
	found.finds = out.finds
	return found, out.flush()
}

// pass passes over the lines of another element. Nothing is written of records without properties.
func (p *plyText) pass(e *plyElement, l *lines) error {
	if len(e.properties) == 0 {
		return nil
	}
	read := e.wordsOf()
	for record := int64(0); record < e.count; {
		line, err := l.read()
		if errors.Is(err, io.EOF) {
			return p.shortText(e, l, record)
		}
		if err != nil {
			return err
		}
		blank, err := read(line, l, nil)
		if err != nil {
			return err
		}
		if !blank {
			record++
		}
	}
	return nil
}

func (p *plyText) shortText(e *plyElement, l *lines, there int64) error {
	return p.in.fault(lineAt(l.next, l.line+1), "the file is cut, or its header states a wrong count", "%s announced, data for %d", e.counted(), there)
}

// nothingElse tells of lines behind those the header announces.
func (p *plyText) nothingElse(l *lines) error {
	n := int64(0)
	var at place
	for {
		line, err := l.read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if word, _ := field(line, 0); len(word) == 0 {
			continue
		}
		if n == 0 {
			at = lineAt(l.offset, l.line)
		}
		n++
	}
	if n == 0 {
		return nil
	}
	return p.in.fault(at, "the header states too few records, or the file is two in one",
		"%s left over behind the last element; %s announced", counted(n, "row"), p.elements[p.vertex].counted())
}
