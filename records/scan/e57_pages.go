package scan

import (
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
)

// An E57 file is cut into pages of 1024 bytes: 1020 of content and their CRC-32C (Castagnoli), big-endian. Offsets in the
// file are physical; lengths, and everything behind the checksums, are logical, that is, without them (ASTM E2807).
const (
	e57Page    = 1024
	e57Payload = e57Page - 4
)

func e57Logical(physical int64) int64 { return physical/e57Page*e57Payload + physical%e57Page }

func e57Physical(logical int64) int64 { return logical/e57Payload*e57Page + logical%e57Payload }

// checkE57Page holds a page, by its number from 0, against its checksum.
func (in *input) checkE57Page(page []byte, number int64) error {
	sum := crc32.Checksum(page[:e57Payload], crc32.MakeTable(crc32.Castagnoli))
	if sum != binary.BigEndian.Uint32(page[e57Payload:]) {
		return in.fault(byteAt(number*e57Page), "copy or export the file again", "the checksum of page %d (counted from 0) does not hold", number)
	}
	return nil
}

// e57Pages reads the logical content of the file page by page, each checked.
type e57Pages struct {
	ctx   context.Context
	in    *input
	meter *meter

	src     io.Reader
	buf     []byte
	raw     []byte // pages in buf not yet checked
	page    []byte // the unread rest of the current one, without its checksum
	next    int64  // number of raw's first
	logical int64  // offset of what is read next
}

func (in *input) e57Pages(ctx context.Context, m *meter) *e57Pages {
	return &e57Pages{ctx: ctx, in: in, meter: m}
}

// physical is the offset in the file of what is read next.
func (p *e57Pages) physical() int64 { return e57Physical(p.logical) }

// moveTo goes on reading at a logical offset, which lies within the file. In packed content a way forward is read over,
// for every stream unpacks from the start.
func (p *e57Pages) moveTo(logical int64) error {
	if p.src == nil || logical < p.logical || !p.in.packed {
		page := logical / e57Payload
		src, err := p.in.stream(p.ctx, page*e57Page, p.meter)
		if err != nil {
			return err
		}
		p.src, p.next, p.logical = src, page, page*e57Payload
		p.raw, p.page = nil, nil
	}
	return p.discard(logical - p.logical)
}

// discard passes over n bytes.
func (p *e57Pages) discard(n int64) error {
	for n > 0 {
		if err := p.turn(); errors.Is(err, io.EOF) {
			return p.cut()
		} else if err != nil {
			return err
		}
		step := min(n, int64(len(p.page)))
		p.page = p.page[step:]
		p.logical += step
		n -= step
	}
	return nil
}

// Read fills b as far as the current page goes.
func (p *e57Pages) Read(b []byte) (int, error) {
	if err := p.turn(); err != nil {
		return 0, err
	}
	n := copy(b, p.page)
	p.page = p.page[n:]
	p.logical += int64(n)
	return n, nil
}

// full fills b.
func (p *e57Pages) full(b []byte) error {
	for len(b) > 0 {
		n, err := p.Read(b)
		if errors.Is(err, io.EOF) {
			return p.cut()
		}
		if err != nil {
			return err
		}
		b = b[n:]
	}
	return nil
}

// cut tells of an end of the file where more was to follow.
func (p *e57Pages) cut() error {
	return p.in.fault(byteAt(p.physical()), "copy or export the file again", "the file ends here, though more is to follow")
}

// turn makes sure that something is left of the current page.
func (p *e57Pages) turn() error {
	if len(p.page) > 0 {
		return nil
	}
	if len(p.raw) < e57Page {
		if err := p.fill(); err != nil {
			return err
		}
	}
	if err := p.in.checkE57Page(p.raw[:e57Page], p.next); err != nil {
		return err
	}
	p.page = p.raw[:e57Payload]
	p.raw = p.raw[e57Page:]
	p.next++
	return nil
}

// fill reads some pages.
func (p *e57Pages) fill() error {
	if p.buf == nil {
		p.buf = make([]byte, 64*e57Page)
	}
	n, err := io.ReadFull(p.src, p.buf)
	switch {
	case n == 0 && err == io.EOF:
		return io.EOF
	case err == io.ErrUnexpectedEOF && n%e57Page != 0:
		return p.in.fault(byteAt(p.next*e57Page+int64(n)), "copy or export the file again", "the file ends within a page")
	case err != nil && err != io.ErrUnexpectedEOF:
		return err
	}
	p.raw = p.buf[:n]
	return nil
}
