package page

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"plumbrule/rules"
)

// grouping says by what devices are put together.
type grouping string

const (
	byFitness grouping = "fitness"
	byPlace   grouping = "place"
	byKind    grouping = "kind"
)

// fleet is the table of all devices.
type fleet struct {
	By        grouping
	Today     string
	Counts    []fitnessCount
	Groups    []group
	Places    []jump
	Kinds     []jump
	Artifacts []artifactRow
	Devices   int
}

// fitnessCount is how many devices have a fitness.
type fitnessCount struct {
	mark
	Count int
	To    string // address; empty: there are none
}

// group is a part of the table.
type group struct {
	ID, Name string
	mark     // of a group by fitness
	Counts   []fitnessCount
	Rows     []template.HTML
}

// jump leads to a group.
type jump struct {
	To, Name string
	Count    int
	Doubtful int // devices in it that are not fit
}

type deviceRow struct {
	ID, Kind, Place string
	Fitness         mark
	Why, Sentence   string
	More            int // reasons beside that
	Calibration     dueDate
	Check           dueDate
	CheckOf         string
}

type artifactRow struct {
	ID, Kind, Objection string
	Calibration         dueDate
}

func (f fleet) title() string { return "Fleet by " + string(f.By) }
func (f fleet) here() string  { return "/" }
func (f fleet) same() string  { return "/fleet.json" }

// fitnesses are the words of fitness, worst first.
func fitnesses() []rules.Fitness {
	return []rules.Fitness{rules.Unfit, rules.Unknown, rules.Limited, rules.Fit}
}

// fleetBy puts the devices into groups; within a group the worst stand first.
func (s *Server) fleetBy(e *edition, by grouping) (fleet, error) {
	out := fleet{By: by, Today: e.today().String(), Devices: len(e.Assessment.Devices)}
	order := make([]*rules.Device, len(e.Assessment.Devices))
	for i := range order {
		order[i] = &e.Assessment.Devices[i]
	}
	slices.SortStableFunc(order, func(a, b *rules.Device) int {
		return slices.Index(fitnesses(), a.Fitness) - slices.Index(fitnesses(), b.Fitness)
	})
	out.Counts = countFitness(order, "/#")
	places, kinds := partition(order, byPlace), partition(order, byKind)
	out.Places, out.Kinds = jumps(places, "/places#"), jumps(kinds, "/kinds#")
	parts := partition(order, byFitness)
	switch by {
	case byPlace:
		parts = places
	case byKind:
		parts = kinds
	case byFitness:
	}
	rows, err := e.deviceRows(s.templates["fleet"])
	if err != nil {
		return fleet{}, err
	}
	for _, p := range parts {
		g := group{ID: p.id, Name: p.name}
		if by == byFitness {
			g.mark = fitness(rules.Fitness(p.name))
		} else {
			g.Counts = slices.DeleteFunc(countFitness(p.devices, ""), func(c fitnessCount) bool { return c.Count == 0 })
		}
		for _, d := range p.devices {
			g.Rows = append(g.Rows, rows[d.ID])
		}
		out.Groups = append(out.Groups, g)
	}
	for i := range e.Assessment.Artifacts {
		a := &e.Assessment.Artifacts[i]
		if a.Service == rules.Retired || a.Objection == "" && a.Calibration.State == rules.Ahead {
			continue
		}
		row := artifactRow{ID: a.ID, Objection: a.Objection, Calibration: dueDateOf(a.Calibration)}
		if a.Record != nil {
			row.Kind = a.Record.Kind
		}
		out.Artifacts = append(out.Artifacts, row)
	}
	return out, nil
}

// part is devices that go together.
type part struct {
	id, name string
	devices  []*rules.Device
}

// partition puts devices into parts: by fitness the worst first, otherwise by name.
func partition(devices []*rules.Device, by grouping) []part {
	at := map[string]int{}
	var out []part
	for _, d := range devices {
		name := string(d.Fitness)
		switch by {
		case byPlace:
			name = orElse(d.Service.Location, "place not stated")
		case byKind:
			name = kindOf(d)
		case byFitness:
		}
		i, known := at[name]
		if !known {
			i = len(out)
			at[name] = i
			out = append(out, part{name: name})
		}
		out[i].devices = append(out[i].devices, d)
	}
	if by != byFitness {
		slices.SortFunc(out, func(a, b part) int { return strings.Compare(a.name, b.name) })
	}
	seen, prefix := map[string]bool{}, string(by)+"-"
	if by == byFitness {
		prefix = ""
	}
	for i := range out {
		out[i].id = anchor(prefix, out[i].name, seen)
	}
	return out
}

func kindOf(d *rules.Device) string {
	if d.Record == nil {
		return "record unreadable"
	}
	return orElse(d.Record.Kind, "kind not stated")
}

func jumps(parts []part, before string) []jump {
	var out []jump
	for _, p := range parts {
		j := jump{To: before + p.id, Name: p.name, Count: len(p.devices)}
		for _, d := range p.devices {
			if d.Fitness != rules.Fit {
				j.Doubtful++
			}
		}
		out = append(out, j)
	}
	return out
}

func countFitness(devices []*rules.Device, before string) []fitnessCount {
	var out []fitnessCount
	for _, f := range fitnesses() {
		c := fitnessCount{mark: fitness(f)}
		for _, d := range devices {
			if d.Fitness == f {
				c.Count++
			}
		}
		if c.Count > 0 && before != "" {
			c.To = before + string(f)
		}
		out = append(out, c)
	}
	return out
}

// deviceRows draws the row of each device, once for all pages that have it: most of the time of a large fleet goes there.
func (e *edition) deviceRows(t *template.Template) (map[string]template.HTML, error) {
	e.drawing.Lock()
	defer e.drawing.Unlock()
	if e.rows != nil {
		return e.rows, nil
	}
	rows, titles := map[string]template.HTML{}, reasonTitles()
	var out strings.Builder
	for i := range e.Assessment.Devices {
		d := &e.Assessment.Devices[i]
		out.Reset()
		if err := t.ExecuteTemplate(&out, "row", deviceRowOf(d, titles)); err != nil {
			return nil, err
		}
		rows[d.ID] = template.HTML(out.String()) // safe: a template has escaped what is foreign in it
	}
	e.rows = rows
	return rows, nil
}

// reasonTitles are the titles of reasons by their code. Asking for each of thousands would make the catalogue anew each time.
func reasonTitles() map[string]string {
	out := map[string]string{}
	for _, c := range rules.ReasonCodes() {
		out[c.ID] = c.Title
	}
	return out
}

func deviceRowOf(d *rules.Device, titles map[string]string) deviceRow {
	check := nextCheck(d)
	row := deviceRow{
		ID: d.ID, Kind: kindOf(d), Place: d.Service.Location, Fitness: fitness(d.Fitness),
		Calibration: dueDateOf(d.Calibration), Check: dueDateOf(check), CheckOf: check.What,
	}
	if d.Fitness == rules.Limited {
		row.Why = fmt.Sprintf("only %s: ", orElse(scopes(d.May), "nothing"))
	}
	if len(d.Reasons) > 0 {
		r := &d.Reasons[0]
		row.Why += orElse(titles[r.Code], r.Code)
		row.More = len(d.Reasons) - 1
		if d.Fitness != rules.Fit || r.Code == "chart-signal" {
			row.Sentence = r.Sentence
		}
	}
	return row
}
