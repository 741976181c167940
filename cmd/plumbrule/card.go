package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/browser"
	"plumbrule/cmd/plumbrule/internal/card"
	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

func newCardCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "card DEVICE… [--svg FILE] [--pdf FILE]",
		Short: "status cards for the cases of devices",
		Long: "Says what stands on the status card of each device, and draws the cards: id, kind, serial number, whether it may be used and for what, " +
			"what falls due, the day of printing, and a code (QR, error correction M) that leads back to the record. A shape and a word tell the " +
			"fitness, never a colour alone.\n\n" +
			"The code holds four lines: \"plumbrule card 1\", the path of the device's record, \"commit\" with the whole commit, and \"at\" with the instant " +
			"judged for. With that commit checked out, \"plumbrule status DEVICE --at INSTANT\" shows how the status came about. Where a " +
			"record is not committed as it is, or there is no git, card and code say \"not committed\".\n\n" +
			"One card is drawn on a page of its size; several, or one with --sheet, on A4 with cutting marks. A PDF is printed by Chromium, where that is " +
			"installed. Text that does not fit, or a code too fine to be read, is refused: ask for a larger card.",
		Example: `  plumbrule card scan-03
  plumbrule card scan-03 --svg scan-03.svg

  # all hand gauges on one sheet, on labels of another size
  plumbrule card mic-01 mic-02 caliper-01 --size 90x50 --svg gauges.svg`,
		GroupID: groupDaily,
		Annotations: seeAlso(statuses(
			"0", "the cards were drawn, or what stands on them was printed",
			"2", "there is no such device, or the cards do not hold what must stand on them",
			"3", "records cannot be read or used, a file cannot be written, or there is no Chromium for a PDF",
		), "status", "due"),
	}
	f := flagsOf(cmd)
	svg := f.text("svg", "draw the card, or one A4 sheet of cards, to this `FILE` as SVG")
	pdf := f.text("pdf", "print the cards to this `FILE` as PDF")
	size := readFlag(f, "size", "width and height of a card in millimetres, `WxH`; 85.6x54 if not given", card.ParseSize)
	size.value = card.DefaultSize()
	sheet := f.yes("sheet", "put even a single card on an A4 sheet")
	instant := f.instant()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return misused("no device, expected at least one", `name it, for example "plumbrule card scan-01"; "plumbrule status" lists the devices`)
		}
		j, err := e.judge(cmd.Context(), instant)
		if err != nil {
			return err
		}
		p := printing{size: size.value, sheet: *sheet}
		if p.cards, p.whyNot, err = j.cards(cmd.Context(), args, e.Now()); err != nil {
			return err
		}
		if *svg != "" {
			if err := p.fits(); err != nil {
				return err
			}
			if err := e.writeOutput(*svg, p.svg); err != nil {
				return tooSmall(err)
			}
		}
		if *pdf != "" {
			if err := e.writeOutput(*pdf, func(w io.Writer) error { return p.pdf(cmd.Context(), w) }); err != nil {
				return tooSmall(err)
			}
		}
		if err := e.print(formatOf(cmd), p.answer()); err != nil {
			return err
		}
		return j.invalid()
	}
	return cmd
}

// cards returns the cards of the devices in the order named, and why no commit stands on them, if none does.
func (j *judged) cards(ctx context.Context, ids []string, now time.Time) (cards []card.Card, whyNot string, err error) {
	devices, err := j.choose(ids)
	if err != nil {
		return nil, "", err
	}
	byID := map[string]*rules.Device{}
	for _, d := range devices {
		byID[d.ID] = d
	}
	commit, whyNot := j.committed(ctx)
	zone := zoneOf(j.set)
	drawn := map[string]bool{}
	for _, id := range ids {
		if drawn[id] {
			continue
		}
		drawn[id] = true
		c := cardOf(byID[id])
		if j.set.Site != nil {
			c.Site = j.set.Site.Name
		}
		c.Day, c.At, c.Commit = j.assessment.Today.String(), j.at.In(zone).Format(time.RFC3339), commit
		c.Printed = calendar.Of(now, zone).String()
		cards = append(cards, c)
	}
	return cards, whyNot, nil
}

// committed returns the commit that holds the records as they are judged, or why none does.
func (j *judged) committed(ctx context.Context) (commit, whyNot string) {
	if j.commit != nil {
		return j.commit.ID, ""
	}
	head, err := j.repository.Head(ctx)
	switch {
	case errors.Is(err, repository.ErrNoGit):
		return "", "the records are not under version control with git"
	case err != nil:
		return "", "there is no commit yet"
	}
	pending, err := j.uncommitted(ctx)
	switch {
	case err != nil:
		return "", "it is not known whether the records are committed: " + err.Error()
	case len(pending) > 0:
		return "", fmt.Sprintf("%s is %s (of %s)", pending[0].Name, pending[0].State, counted(len(pending), "such file"))
	}
	return head, ""
}

// cardOf says of a device what stands on its card, but for when and from which records.
func cardOf(d *rules.Device) card.Card {
	c := card.Card{Device: d.ID, Fitness: string(d.Fitness), Record: "devices/" + d.ID + ".toml"}
	reason := "no reason is known"
	if len(d.Reasons) > 0 {
		reason = rules.TitleOf(d.Reasons[0].Code)
	}
	switch d.Fitness {
	case rules.Fit:
		c.Use = "No limits of use."
	case rules.Limited:
		c.Use = "Only " + orNone(scopeList(d.May)) + "."
		if not := barredList(d); not != "" {
			c.Use += " Not " + not + "."
		}
	case rules.Unfit:
		c.Use = "Do not use: " + reason + "."
	case rules.Unknown:
		c.Use = "Do not use until judged: " + reason + "."
	}
	if d.Record == nil {
		c.About = []string{"its record cannot be read"}
		return c
	}
	c.Record = d.Record.File
	c.About = []string{strings.Join(strings.Fields(d.Record.Kind+", "+d.Record.Maker+" "+d.Record.Model), " ")}
	if d.Record.Maker == "" && d.Record.Model == "" {
		c.About[0] = d.Record.Kind
	}
	if d.Record.Serial != "" {
		c.About = append(c.About, "serial "+d.Record.Serial)
	}
	c.Due = []string{"calibration " + dueWords(d.Calibration), "next check " + dueWords(nextCheck(d))}
	if check := nextCheck(d); check.What != "" && check.State != rules.Stopped {
		c.Due[1] += ", " + check.What
	}
	return c
}

// dueWords says when something falls due, or why nothing does.
func dueWords(d rules.Due) string {
	switch d.State {
	case rules.NotRequired:
		return "not required"
	case rules.Stopped:
		return "stopped while out of service"
	case rules.Missing:
		return "never done"
	case rules.DueNow:
		return "asked for now"
	case rules.Overdue:
		return "overdue since " + d.Date.AddDays(1).String()
	case rules.Ahead, rules.Soon:
		return "due by " + d.Date.String()
	}
	return "unknown"
}

// printing is a number of cards on their way to paper.
type printing struct {
	cards  []card.Card
	whyNot string // why no commit stands on them; empty: one does
	size   card.Size
	sheet  bool
}

// onSheet tells whether the cards go on A4.
func (p *printing) onSheet() bool { return p.sheet || len(p.cards) > 1 }

// fits refuses more cards than one drawing holds.
func (p *printing) fits() error {
	if most := p.size.PerSheet(); p.onSheet() && len(p.cards) > most {
		return misused(fmt.Sprintf("%s of %s for one SVG, expected at most %d, as many as an A4 sheet holds", counted(len(p.cards), "card"), p.size, most),
			"name fewer devices, or write a --pdf, which has as many sheets as it takes")
	}
	return nil
}

func (p *printing) svg(w io.Writer) error {
	if p.onSheet() {
		return card.Sheet(w, p.cards, p.size)
	}
	return card.SVG(w, p.cards[0], p.size)
}

// pdf prints the cards through a browser, a page for each sheet.
func (p *printing) pdf(ctx context.Context, w io.Writer) error {
	page := fmt.Sprintf("%gmm %gmm", p.size.WidthMM, p.size.HeightMM)
	if p.onSheet() {
		page = "A4"
	}
	var html strings.Builder
	html.WriteString("<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><title>status cards</title><style>@page{size:" + page +
		";margin:0}body{margin:0}svg{display:block;break-after:page;break-inside:avoid}svg:last-child{break-after:auto}</style>\n")
	rest := p.cards
	for len(rest) > 0 {
		part := printing{cards: rest[:min(len(rest), p.size.PerSheet())], size: p.size, sheet: p.onSheet()}
		rest = rest[len(part.cards):]
		if err := part.svg(&html); err != nil {
			return err
		}
	}
	html.WriteString("</html>\n")
	pdf, err := browser.PDF(ctx, html.String())
	if errors.Is(err, browser.ErrNone) {
		return unreadable(err.Error(), "install Chromium, or write --svg and print that", err)
	}
	if err != nil {
		return err
	}
	_, err = w.Write(pdf)
	return err
}

// tooSmall asks for a larger card where the answer does not fit.
func tooSmall(err error) error {
	if fit, is := errors.AsType[*card.FitError](err); is {
		return misused(fit.Error(), "state a larger --size")
	}
	return err
}
