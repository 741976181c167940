package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/repository"
	"plumbrule/records"
	"plumbrule/rules"
)

// deviceDrift is what the records say about the drift of one device.
type deviceDrift struct {
	*judged
	o      *driftOptions
	id     string
	trends []rules.Trend
	errors []rules.ErrorTrend
	causes rules.DriftCauses
}

func (o *driftOptions) printSubject(e *env, cmd *cobra.Command, id string) error {
	j, err := e.judge(cmd.Context(), o.instant)
	if err != nil {
		return err
	}
	if o.horizon.value.IsZero() {
		return misused("--horizon 0 days, expected a time ahead", `write it as --horizon "24 months"`)
	}
	var a answer
	switch {
	case slices.Contains(j.deviceIDs(), id):
		d, err := o.device(j, id)
		if err != nil {
			return err
		}
		a = d.answer()
	case j.set.Artifacts[id] != nil:
		if *o.procedure != "" || *o.artifact != "" || o.horizon.given() {
			return misused("--procedure, --artifact or --horizon with an artifact", "leave them out; --feature chooses a certified value")
		}
		v, err := o.values(j, id)
		if err != nil {
			return err
		}
		a = v.answer()
	default:
		names := slices.Concat(j.deviceIDs(), artifactIDs(j.set))
		return misused(fmt.Sprintf("there is no device or artifact %q", id), nearOf(id, names))
	}
	if err := e.print(formatOf(cmd), a); err != nil {
		return err
	}
	return j.invalid()
}

func artifactIDs(set *records.Set) (ids []string) {
	for id := range set.Artifacts {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

func (o *driftOptions) device(j *judged, id string) (*deviceDrift, error) {
	d := &deviceDrift{judged: j, o: o, id: id}
	q := rules.TrendQuestion{Level: o.level.value, Horizon: o.horizon.value}
	all, err := rules.TrendsOf(j.set, j.at, j.options, id, q)
	if err != nil {
		return nil, misused(err.Error(), "")
	}
	chosen := *o.procedure != "" || *o.artifact != "" || *o.feature != ""
	for _, t := range all {
		if (*o.procedure == "" || t.Procedure == *o.procedure) && (*o.artifact == "" || t.Artifact == *o.artifact) && (*o.feature == "" || t.Feature == *o.feature) {
			d.trends = append(d.trends, t)
		}
	}
	if chosen && len(d.trends) == 0 {
		var names []string
		for _, t := range all {
			names = append(names, trendName(&t))
		}
		if len(names) == 0 {
			names = []string{"none: it has no check that is evidence"}
		}
		return nil, misused(fmt.Sprintf("%s has no such series of checks at %s", id, j.at.Format("2006-01-02")), "its series are "+strings.Join(names, "; "))
	}
	if chosen {
		return d, nil // certificates and causes are about the whole device
	}
	if d.errors, err = rules.ErrorTrendsOf(j.set, j.at, j.options, id, q); err != nil {
		return nil, misused(err.Error(), "")
	}
	if d.causes, err = rules.DriftCausesOf(j.set, j.at, j.options, id, o.level.value); err != nil {
		return nil, misused(err.Error(), "")
	}
	return d, nil
}

func trendName(t *rules.Trend) string {
	return fmt.Sprintf("%s %s %s", t.Procedure, t.Artifact, t.Feature)
}

// completeSubjects offers devices and artifacts to a shell's completion.
func (e *env) completeSubjects(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	out, directive := e.completeDevices(cmd, args, typed)
	dir, err := cmd.Flags().GetString("directory")
	if err != nil {
		return out, directive
	}
	r, err := repository.Find(e.path(dir))
	if err != nil {
		return out, directive
	}
	set, _ := records.Load(r.FS(), records.Options{})
	for _, id := range artifactIDs(set) {
		out = append(out, id+"\t"+set.Artifacts[id].Kind)
	}
	return out, directive
}
