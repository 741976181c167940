package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/cmd/plumbrule/internal/tracedrawing"
	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// traceSection follows the chain of every device and lists where it does not hold, kind by kind. Of one device alone it draws the chain into the folder.
func (a *audited) traceSection(folder *pack.Folder) (pack.Section, error) {
	s := pack.Section{ID: "traceability", Title: "Traceability, and where it does not hold", Apart: true, Lead: []string{
		"From each device over checks, artifacts and certificates to laboratory, accreditation and stated reference. ISO/IEC 17025:2017, 6.5 and annex A.",
	}}
	whole := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "at"}, {Title: "gap"}, {Title: "what would mend it"}, {Title: "clause"}, {Title: "records"}}}
	var gaps gapKinds
	holds := 0
	all := trace.Open(a.set, a.at, a.options, a.looks)
	for _, d := range a.devices {
		chain, err := all.For(d.ID, "")
		if err != nil {
			s.Notes = append(s.Notes, fmt.Sprintf("The chain of %s cannot be followed: %s.", d.ID, err))
			continue
		}
		found := chain.Gaps()
		if len(found) == 0 {
			holds++
		}
		for _, g := range found {
			code, _ := trace.CodeOf(g.Gap.Code)
			at := fmt.Sprintf("%s %s", chain.Steps[g.Step].Kind, chain.Steps[g.Step].Name)
			whole.Add(table.Text(d.ID), table.Text(at), table.Text(g.Gap.Sentence), table.Text(code.Mend), table.Text(code.Clause), table.Text(sourceLines(g.Gap.Sources, 2)))
			gaps.add(code, at, d.ID, &g.Gap)
		}
		if len(a.devices) == 1 {
			drawn, err := a.drawChain(folder, chain)
			if err != nil {
				return s, err
			}
			s.Drawn = append(s.Drawn, drawn)
		}
	}
	s.Lead = append(s.Lead, chainsHold(len(a.devices), holds))
	s.Table = &pack.Table{Name: "traceability", Whole: &whole, None: "No gap was found in any chain."}
	s.Parts = gaps.parts(len(a.devices) > 1)
	if len(s.Parts) > 0 {
		s.Table.None = fmt.Sprintf("These are the gaps, kind by kind; one stands here once, however many chains lead through it. The file tables/%s.csv has them device by device.", s.Table.Name)
	}
	return s, nil
}

// chainsHold says how many chains hold.
func chainsHold(devices, holds int) string {
	switch {
	case holds == devices:
		return "No gap was found in what the records state: the chain holds to its end."
	case devices == 1:
		return "The chain does not hold to its end."
	case holds == 0:
		return fmt.Sprintf("Of %s there is none whose chain holds to its end.", counted(devices, "device"))
	}
	return fmt.Sprintf("Of %s the chain holds to its end for %d.", counted(devices, "device"), holds)
}

// drawChain draws the chain of the only device.
func (a *audited) drawChain(folder *pack.Folder, chain *trace.Chain) (pack.Drawing, error) {
	const name = "charts/traceability.svg"
	t := &traced{a.judged, chain}
	alt := "Drawing of the chain of traceability of " + t.headline() + ". The gaps are listed below, and the steps in the answer of \"plumbrule trace\"."
	err := folder.Add(name, func(w io.Writer) error { return tracedrawing.SVG(w, t.picture(), "chain") })
	return pack.Drawing{File: name, Tall: true, Alt: alt}, err
}

// gapKinds collects gaps of many chains by kind, in the order they are first met.
type gapKinds struct {
	order []string
	kinds map[string]*gapKind
}

type gapKind struct {
	code trace.GapCode
	list []*sharedGap
}

// sharedGap is a gap with the devices whose chains lead through it.
type sharedGap struct {
	at, sentence string
	devices      []string
	sources      []rules.Source
}

func (k *gapKinds) add(code trace.GapCode, at, device string, g *trace.Gap) {
	kind := k.kinds[g.Code]
	if kind == nil {
		if k.kinds == nil {
			k.kinds = map[string]*gapKind{}
		}
		kind = &gapKind{code: code}
		k.kinds[g.Code] = kind
		k.order = append(k.order, g.Code)
	}
	for _, x := range kind.list {
		if x.at == at && x.sentence == g.Sentence {
			x.devices = append(x.devices, device)
			return
		}
	}
	kind.list = append(kind.list, &sharedGap{at, g.Sentence, []string{device}, g.Sources})
}

// parts are the kinds, a section each; with the devices whose chains lead through a gap, where there are several.
func (k *gapKinds) parts(devices bool) []pack.Section {
	var out []pack.Section
	for _, id := range k.order {
		kind := k.kinds[id]
		s := pack.Section{
			ID: "gap-" + id, Title: fmt.Sprintf("%s (%d)", upperFirst(kind.code.Title), len(kind.list)),
			Notes: []string{fmt.Sprintf("What would mend it: %s. %s.", kind.code.Mend, kind.code.Clause)},
		}
		same := len(kind.list) > 1 && !slices.ContainsFunc(kind.list, func(x *sharedGap) bool { return x.sentence != kind.list[0].sentence })
		if same { // then it is said once
			s.Lead = []string{upperFirst(kind.list[0].sentence) + "."}
		}
		t := table.Table{Columns: []table.Column{{Title: "at"}}}
		if !same {
			t.Columns = append(t.Columns, table.Column{Title: "gap"})
		}
		if devices {
			t.Columns = append(t.Columns, table.Column{Title: "in the chain of"})
		}
		t.Columns = append(t.Columns, table.Column{Title: "records"})
		for _, x := range kind.list {
			cells := []table.Cell{table.Text(x.at)}
			if !same {
				cells = append(cells, table.Text(x.sentence))
			}
			if devices {
				cells = append(cells, table.Text(strings.Join(x.devices, ", ")))
			}
			t.Add(append(cells, table.Text(oneSource(x.sources)))...)
		}
		widths := map[int][]int{2: {35, 65}, 3: {25, 43, 32}, 4: {19, 36, 18, 27}}[len(t.Columns)]
		s.Table = &pack.Table{Table: t, Widths: widths}
		out = append(out, s)
	}
	return out
}
