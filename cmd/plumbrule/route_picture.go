package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/routedrawing"
	"plumbrule/rules/route/space"
)

// picture is the plan to be drawn.
func (r *routed) picture() *routedrawing.Picture {
	p, task := r.plan, &r.file.Task
	out := &routedrawing.Picture{Title: r.file.Title, Sentences: r.drawnWords()}
	if out.Title == "" {
		out.Title = r.name
	}
	spot := map[string]int{}
	for _, v := range task.Volumes {
		kind := routedrawing.Measured
		if v.Bridge {
			kind = routedrawing.Bridge
		}
		spot[v.Name] = len(out.Spots)
		out.Spots = append(out.Spots, routedrawing.Spot{Name: v.Name, At: v.At, Kind: kind, RadiusMM: v.RadiusMM, SizeMM: v.SizeMM})
	}
	for i, s := range p.Order {
		out.Spots[spot[s.Volume]].Order = i + 1
	}
	for _, f := range task.Frames {
		if len(f.Volumes) == 2 {
			continue // a line between its two volumes
		}
		var amid space.Point
		for _, name := range f.Volumes {
			for i, x := range out.Spots[spot[name]].At {
				amid[i] += x / float64(len(f.Volumes))
			}
		}
		spot[f.Name] = len(out.Spots)
		out.Spots = append(out.Spots, routedrawing.Spot{Name: f.Name, At: amid, Kind: routedrawing.Frame})
	}
	used := map[[2]int]bool{}
	for _, l := range p.Links {
		line := routedrawing.Line{From: spot[l.From], To: spot[l.To], Use: routedrawing.Used}
		if l.Frame != "" {
			line.Use = routedrawing.Tied
		} else {
			used[[2]int{line.From, line.To}], used[[2]int{line.To, line.From}] = true, true
		}
		out.Lines = append(out.Lines, line)
	}
	for _, j := range task.Joins {
		if line := (routedrawing.Line{From: spot[j.From], To: spot[j.To]}); !used[[2]int{line.From, line.To}] {
			out.Lines = append(out.Lines, line)
		}
	}
	for i, o := range task.Obstacles {
		out.Solids = append(out.Solids, routedrawing.Solid{Name: r.file.Obstacles[i], Shape: o})
	}
	for _, name := range p.Worst.Through {
		out.Worst = append(out.Worst, spot[name])
	}
	out.Centre = r.drawnCentre(spot)
	out.Notes = append(out.Notes, p.Notes...)
	return out
}

func (r *routed) drawnCentre(spot map[string]int) *routedrawing.Centre {
	c := r.plan.Centre
	if c.Name != "" {
		return &routedrawing.Centre{From: spot[c.Name], To: spot[c.Name]}
	}
	out := &routedrawing.Centre{From: spot[c.From], To: spot[c.To], Share: 0.5}
	for _, l := range r.plan.Links {
		if l.LengthMM > 0 && (l.From == c.From && l.To == c.To || l.From == c.To && l.To == c.From) {
			out.Share = c.AlongMM / l.LengthMM
		}
	}
	return out
}

// drawnWords are the sentences above the drawing.
func (r *routed) drawnWords() []string {
	w := &r.plan.Worst
	text := fmt.Sprintf("Branching out: worst pair %s to %s, path %s m, bound %s µm", w.From, w.To, metres(w.PathMM), boundText(w))
	if w.Share.Value != nil {
		text += ", " + shareCell(w).Shown + " % of its tolerance"
	}
	out := []string{text + "."}
	if r.chain != nil {
		w := &r.chain.Worst
		out = append(out, fmt.Sprintf("In a chain: worst pair %s to %s, path %s m, bound %s µm.", w.From, w.To, metres(w.PathMM), boundText(w)))
	}
	return out
}
