package main

import (
	"strings"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/route"
)

// routeJSON is what route prints as JSON: an interface, to which fields are only added. A figure that does not exist is null,
// and reasons says why under its name.
type routeJSON struct {
	File         string            `json:"file"`
	Title        *string           `json:"title"`
	MPE          string            `json:"mpe"`
	Centre       string            `json:"centre"`
	CentreFrom   *string           `json:"centre_from"`
	CentreTo     *string           `json:"centre_to"`
	CentreAlongM *float64          `json:"centre_along_m"`
	WorstFrom    string            `json:"worst_from"`
	WorstTo      string            `json:"worst_to"`
	WorstPathM   float64           `json:"worst_path_m"`
	WorstBoundUM float64           `json:"worst_bound_um"`
	WorstShare   *float64          `json:"worst_share"`
	Proven       bool              `json:"proven"`
	LeastBoundUM *float64          `json:"least_bound_um"`
	LeastShare   *float64          `json:"least_share"`
	Exceeding    int               `json:"exceeding"`
	ChainFrom    *string           `json:"chain_worst_from"`
	ChainTo      *string           `json:"chain_worst_to"`
	ChainPathM   *float64          `json:"chain_worst_path_m"`
	ChainBoundUM *float64          `json:"chain_worst_bound_um"`
	ChainShare   *float64          `json:"chain_worst_share"`
	Chain        []string          `json:"chain"`
	ChainLeftOut []string          `json:"chain_left_out"`
	Tree         []routeLinkJSON   `json:"tree"`
	Order        []routeStepJSON   `json:"order"`
	Pairs        []routePairJSON   `json:"pairs"`
	PairsOmitted int               `json:"pairs_omitted"`
	Advice       []routeAdviceJSON `json:"advice"`
	Tried        *int              `json:"advice_tried"`
	Candidates   *int              `json:"advice_candidates"`
	Notes        []string          `json:"notes"`
	Reasons      absences          `json:"reasons"`
}

// routeLinkJSON is a join in use, or a frame in use, which adds bound_um and no path.
type routeLinkJSON struct {
	From    string   `json:"from"`
	To      string   `json:"to"`
	M       float64  `json:"m"`
	Frame   *string  `json:"frame"`
	BoundUM *float64 `json:"bound_um"`
}

type routeStepJSON struct {
	Volume string  `json:"volume"`
	From   *string `json:"from"`
	M      float64 `json:"m"`
	OutM   float64 `json:"out_m"`
	Frame  *string `json:"frame"`
}

type routePairJSON struct {
	From        string   `json:"from"`
	To          string   `json:"to"`
	PathM       float64  `json:"path_m"`
	BoundUM     float64  `json:"bound_um"`
	ToleranceUM *float64 `json:"tolerance_um"`
	Share       *float64 `json:"share"`
	Through     []string `json:"through"`
}

type routeAdviceJSON struct {
	Kind         string    `json:"kind"`
	From         *string   `json:"from"`
	To           *string   `json:"to"`
	M            *float64  `json:"m"`
	AtMM         []float64 `json:"at_mm"`
	Joined       []string  `json:"joined"`
	WorstPathM   float64   `json:"worst_path_m"`
	WorstBoundUM float64   `json:"worst_bound_um"`
	WorstShare   *float64  `json:"worst_share"`
}

// mostPairsJSON is how many pairs are listed where all count; above, only the worst is.
const mostPairsJSON = 5000

func (r *routed) json() routeJSON {
	p, reasons := r.plan, absences{}
	out := routeJSON{
		File: r.name, Title: textOrNull(r.file.Title), MPE: r.file.Task.MPE.String(), Centre: r.centreWords(),
		CentreFrom: textOrNull(p.Centre.From), CentreTo: textOrNull(p.Centre.To),
		WorstFrom: p.Worst.From, WorstTo: p.Worst.To, WorstPathM: p.Worst.PathMM / 1000, WorstBoundUM: p.Worst.BoundUM,
		WorstShare: reasons.value("worst_share", p.Worst.Share), Proven: p.Proof.Optimal, Exceeding: r.exceeds(),
		Chain: []string{}, ChainLeftOut: []string{}, Tree: []routeLinkJSON{}, Order: []routeStepJSON{}, Pairs: []routePairJSON{},
		Advice: []routeAdviceJSON{}, Notes: notNull(p.Notes), Reasons: reasons,
	}
	if p.Centre.AlongMM > 0 {
		out.CentreAlongM = new(p.Centre.AlongMM / 1000)
	}
	if p.Worst.Share.Value != nil {
		out.LeastShare = &p.Proof.LeastShare
		reasons["least_bound_um"] = "shares of tolerances count"
	} else {
		out.LeastBoundUM = &p.Proof.LeastBoundUM
		reasons["least_share"] = p.Worst.Share.Reason
	}
	if !p.Proof.Optimal {
		reasons["proven"] = p.Proof.Reason
	}
	r.chainJSON(&out)
	for _, l := range p.Links {
		one := routeLinkJSON{From: l.From, To: l.To, M: l.LengthMM / 1000, Frame: textOrNull(l.Frame)}
		if l.Frame != "" {
			one.BoundUM = &l.BoundUM
		}
		out.Tree = append(out.Tree, one)
	}
	for _, s := range p.Order {
		out.Order = append(out.Order, routeStepJSON{s.Volume, textOrNull(s.From), s.LengthMM / 1000, s.OutMM / 1000, textOrNull(s.Frame)})
	}
	ways, omitted := r.ways()
	for _, w := range ways {
		one := routePairJSON{From: w.From, To: w.To, PathM: w.PathMM / 1000, BoundUM: w.BoundUM, Share: w.Share.Value, Through: w.Through}
		if w.ToleranceUM > 0 {
			one.ToleranceUM = &w.ToleranceUM
		}
		out.Pairs = append(out.Pairs, one)
	}
	out.PairsOmitted = omitted
	r.adviceJSON(&out)
	return out
}

func (r *routed) chainJSON(out *routeJSON) {
	if r.chain == nil {
		for _, name := range []string{"chain_worst_from", "chain_worst_to", "chain_worst_path_m", "chain_worst_bound_um", "chain_worst_share"} {
			out.Reasons[name] = r.noChain
		}
		return
	}
	w := &r.chain.Worst
	out.ChainFrom, out.ChainTo, out.ChainPathM, out.ChainBoundUM = &w.From, &w.To, new(w.PathMM/1000), &w.BoundUM
	out.ChainShare = out.Reasons.value("chain_worst_share", w.Share)
	out.Chain, out.ChainLeftOut = r.chain.Order, notNull(r.chain.LeftOut)
}

// ways returns the pairs of the file, or, where all count, those of all volumes that are no bridges, up to a number.
func (r *routed) ways() (list []route.Way, omitted int) {
	if len(r.plan.Pairs) > 0 {
		return r.plan.Pairs, 0
	}
	var names []string
	for _, v := range r.file.Task.Volumes {
		if !v.Bridge {
			names = append(names, v.Name)
		}
	}
	if all := len(names) * (len(names) - 1) / 2; all > mostPairsJSON {
		return []route.Way{r.plan.Worst}, all - 1
	}
	for i, to := range names {
		for _, from := range names[:i] {
			if w, err := r.plan.Between(from, to); err == nil {
				list = append(list, w)
			}
		}
	}
	return list, 0
}

func (r *routed) adviceJSON(out *routeJSON) {
	if r.advice == nil {
		out.Reasons["advice_tried"], out.Reasons["advice_candidates"] = "--advise is not given", "--advise is not given"
		return
	}
	out.Tried, out.Candidates = &r.advice.Tried, &r.advice.Candidates
	for _, s := range r.advice.Suggestions {
		one := routeAdviceJSON{
			Kind: string(s.Kind), From: textOrNull(s.From), To: textOrNull(s.To), AtMM: []float64{}, Joined: notNull(s.Joined),
			WorstPathM: s.Worst.PathMM / 1000, WorstBoundUM: s.Worst.BoundUM, WorstShare: s.Worst.Share.Value,
		}
		if s.Kind == route.OneBridge {
			one.AtMM = s.At[:]
		} else {
			one.M = new(s.LengthMM / 1000)
		}
		out.Advice = append(out.Advice, one)
	}
}

// csv has one row a pair.
func (r *routed) csv() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "from"},
		{Title: "to"},
		{Title: "path", Unit: "m"},
		{Title: "bound", Unit: "µm"},
		{Title: "tolerance", Unit: "µm"},
		{Title: "share"},
		{Title: "through"},
	}}
	ways, _ := r.ways()
	for i := range ways {
		w := &ways[i]
		tolerance, share := table.None(), table.None()
		if w.Share.Value != nil {
			tolerance, share = table.Number("", w.ToleranceUM), table.Number("", *w.Share.Value)
		}
		t.Add(table.Text(w.From), table.Text(w.To), table.Number("", w.PathMM/1000), table.Number("", w.BoundUM), tolerance, share, table.Text(strings.Join(w.Through, " > ")))
	}
	return t
}
