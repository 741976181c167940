package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"time"

	"plumbrule/records/scan"
	"plumbrule/rules/sphere"
)

// scanFile is an opened scan on its way to the rules.
type scanFile struct {
	name   string
	file   *os.File
	size   int64
	cloud  *scan.Cloud
	meter  *meter
	unit   string // as stated by the user or the file; empty: nobody has said
	mm     float64
	tally  scan.Tally
	passes int
}

// openScan opens a scan. unit is what the user says of it, empty if nothing; a file that has a unit of its own keeps it.
func (e env) openScan(name, unit string) (*scanFile, error) {
	path := e.path(name)
	info, err := os.Stat(path)
	if err != nil {
		return nil, unreadable(fmt.Sprintf("%s: cannot be read: %s", name, plainCause(err)), "check the name", err)
	}
	if !info.Mode().IsRegular() {
		return nil, unreadable(name+": is no ordinary file", "name the file of a scan", nil)
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, unreadable(fmt.Sprintf("%s: cannot be read: %s", name, plainCause(err)), "", err)
	}
	s := &scanFile{name: name, file: file, size: info.Size(), meter: e.meter("reading " + name)}
	if s.cloud, err = scan.Open(file, s.size, scan.Options{Name: name}); err != nil {
		_ = file.Close()
		return nil, scanFault(err)
	}
	own := s.cloud.Head.Unit
	if own != "" && unit != "" && millimetresIn(own) != millimetresIn(unit) {
		_ = file.Close()
		return nil, misused(fmt.Sprintf("--unit %s, but the file is in %s", unit, own), "leave out --unit; "+s.cloud.Head.Format+" says its unit itself")
	}
	s.unit = firstOf(own, unit)
	s.mm = millimetresIn(firstOf(s.unit, "mm"))
	return s, nil
}

func (s *scanFile) close() { _ = s.file.Close() }

// millimetresIn returns the size of a unit scans come in.
func millimetresIn(unit string) float64 {
	switch unit {
	case "mm":
		return 1
	case "cm":
		return 10
	case "m":
		return 1000
	case "in":
		return 25.4
	case "um", "µm":
		return 1e-3
	}
	return 0
}

// scanUnits are the units a scan's numbers may be in.
func scanUnits() []string { return []string{"mm", "m", "cm", "in", "um"} }

// Estimate implements [sphere.Source].
func (s *scanFile) Estimate() int64 {
	if n := s.cloud.Head.Declared; n >= 0 {
		return n
	}
	if s.cloud.Head.Compressed {
		return s.size / 8
	}
	return s.size / 30
}

// Blocks implements [sphere.Source].
func (s *scanFile) Blocks(ctx context.Context, visit func(index int, xyz, weight []float64) error) error {
	s.passes++
	tally, err := s.cloud.Read(ctx, scan.Reading{Workers: runtime.GOMAXPROCS(0), Progress: s.meter.show}, func(b *scan.Block) error {
		return visit(b.Index, b.XYZ, b.Weight)
	})
	if err != nil {
		return scanFault(err)
	}
	s.tally = tally
	return nil
}

// scanFault makes a failure of a fault in a scan's file.
func scanFault(err error) error {
	if fault, ok := errors.AsType[*scan.Error](err); ok {
		mend := fault.Mend
		plain := *fault
		plain.Mend = ""
		return unreadable(plain.Error(), mend, err)
	}
	return err
}

// digest returns the SHA-256 of the file.
func (s *scanFile) digest() (string, error) {
	hash := sha256.New()
	n, err := io.Copy(hash, io.NewSectionReader(s.file, 0, s.size+1))
	if err == nil && n != s.size {
		err = fmt.Errorf("the file has changed while it was read")
	}
	if err != nil {
		return "", unreadable(fmt.Sprintf("%s: %s", s.name, plainCause(err)), "wait until the scan is complete", err)
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}

// step returns the spacing of the file's numbers in millimetres.
func (s *scanFile) step() float64 { return s.tally.Step * s.mm }

// meter shows on a terminal how far long work is; elsewhere it is silent.
type meter struct {
	out   io.Writer // nil: nobody looks
	what  string
	now   func() time.Time
	begun time.Time
	last  time.Time
	shown bool
}

// patience is how long work goes on in silence.
const patience = time.Second

func (e env) meter(what string) *meter {
	m := &meter{what: what, now: e.Now}
	if e.Terminal.Is {
		m.out = e.Stderr
		m.begun = e.Now()
	}
	return m
}

func (m *meter) show(done, total int64) {
	if m.out == nil || total <= 0 {
		return
	}
	now := m.now()
	if now.Sub(m.begun) < patience || now.Sub(m.last) < patience/5 {
		return
	}
	m.last, m.shown = now, true
	fmt.Fprintf(m.out, "\r%s: %3.0f %%", m.what, 100*float64(done)/float64(total))
}

// end takes the line away.
func (m *meter) end() {
	if m.shown {
		fmt.Fprint(m.out, "\r\x1b[K")
		m.shown = false
	}
}

// sphereFault makes a failure of a scan without a result.
func sphereFault(name string, err error) error {
	var fault *sphere.Error
	if !errors.As(err, &fault) {
		return err
	}
	mend := fault.Mend
	switch fault.Reason {
	case sphere.OtherUnit:
		mend = "say the unit of the file: --unit " + fault.Unit + " if that is so"
	case sphere.BadRequest:
		return misused(fault.Found, mend)
	default:
	}
	return unreadable(name+": "+fault.Found, mend, err)
}
