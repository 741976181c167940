// Scans makes invented scans of a ball bar, as a handheld scanner would deliver them, with their truth beside them: what was
// put in, so that what is found can be compared.
//
//	go run ./examples/scans -out DIR
//
// The bar is bar-800 of examples/propeller-works: its certificate says how long it is at 20 °C, its record how it grows, and
// the scans show it at the temperature of their morning. README.md tells of each scan. The same source and records give the
// same bytes on every machine. Everything is invented and proves nothing about any device.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

//go:generate go run . -records ../propeller-works -out ../propeller-works/scans

func main() {
	if err := run(os.Args[1:]); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintf(os.Stderr, "scans: %v\n", err)
		}
		os.Exit(2)
	}
}

// run writes every scan and its truth into a folder.
func run(arguments []string) error {
	flags := flag.NewFlagSet("scans", flag.ContinueOnError)
	out := flags.String("out", "", "`folder` to write the scans to")
	from := flags.String("records", filepath.FromSlash("examples/propeller-works"), "`folder` of the records that say what the bar is")
	if err := flags.Parse(arguments); err != nil {
		return err
	}
	if *out == "" || flags.NArg() > 0 {
		return errors.New("expected -out and a folder, and nothing else")
	}
	bar, err := certified(os.DirFS(*from))
	if err != nil {
		return fmt.Errorf("%s: %w", *from, err)
	}
	if err := os.MkdirAll(*out, 0o755); err != nil {
		return err
	}
	for _, s := range stories() {
		files, err := s.files(bar)
		if err != nil {
			return err
		}
		for name, data := range files {
			if err := os.WriteFile(filepath.Join(*out, name), data, 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}
