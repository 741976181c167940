package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/spelling"
	"plumbrule/rules"
	"plumbrule/rules/impact"
)

// impactOptions are the flags of impact.
type impactOptions struct {
	since    *parsed[calendar.Date]
	quantity *parsed[records.Quantity]
	notices  *string
	instant  instantFlags
	strict   *bool
}

func newImpactCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "impact DEVICE | ARTIFACT | CERTIFICATE",
		Short: "which jobs an error may have spoilt, by how much of their tolerance",
		Long: "Says what it means that something was found wrong. For a device: every error outside a limit, every adjustment without as found " +
			"and every incident that no good evidence followed; from when to when results are in doubt, back to the last good evidence of the " +
			"same quantity and range, on to the adjustment or the check that passed; and the jobs in between. For an artifact or a certificate " +
			"(its number, or the path of its record): all checks that rest on it, judged anew by the next calibration where there is one, and " +
			"taken away where there is none; and what of each device is in doubt then.\n\n" +
			"For each job the error found is brought to its length or path by the form of the device's limit, and stands as a part of half the " +
			"job's tolerance, alone and with its uncertainty. At 100 % a part in the middle of its zone may lie on the edge. What cannot be " +
			"bounded is listed with the reason.\n\n" +
			"Nothing is said of what was measured between checks beyond that: an error may have been larger for a time and gone again. What " +
			"becomes of a job is for the responsible person to decide, and is recorded with \"record step\".",
		Example: `  plumbrule impact scan-03

  # the artifact that was found changed at its calibration
  plumbrule impact ring-50 --format csv

  # nobody knows since when; drafts of what to tell the customers
  plumbrule impact scan-03 --since 2026-09-01 --quantity distance \
    --notices drafts`,
		GroupID: groupDaily,
		Annotations: seeAlso(statuses(
			"0", "the answer was printed",
			"1", "with --strict: a job is in doubt on which nothing was decided",
			"2", "there is no such device, artifact or certificate, or a value cannot be used",
			"3", "records cannot be read or used, or a draft cannot be written",
		), "record", "status", "explain"),
	}
	o := &impactOptions{}
	f := flagsOf(cmd)
	o.since = readFlag(f, "since", "take it to be wrong since this `DATE`, whatever the evidence says", calendar.ParseDate)
	o.quantity = readFlag(f, "quantity", "ask for one `QUANTITY` alone: "+either(quantityWords()), oneOf(quantityKinds()...))
	o.notices = f.text("notices", "write the draft of a notice for each customer to this new or empty `FOLDER`")
	o.instant = f.instant()
	o.strict = f.strict()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return misused("expected one device, artifact or certificate", "name it behind the verb, for example \"plumbrule impact scan-03\"")
		}
		j, err := e.judge(cmd.Context(), o.instant)
		if err != nil {
			return err
		}
		if j.set.Site == nil || j.set.Site.Zone == nil {
			return unreadable("the site's settings cannot be read", "mend "+records.SiteFile+" first", nil)
		}
		x, err := o.ask(j, args[0])
		if err != nil {
			return err
		}
		if *o.notices != "" && len(x.effects) > 0 {
			if x.drafts, err = e.writeNotices(*o.notices, x); err != nil {
				return err
			}
		}
		if err := e.print(formatOf(cmd), x.answer()); err != nil {
			return err
		}
		if err := j.invalid(); err != nil {
			return err
		}
		return attention(*o.strict, len(x.unread) > 0 || slices.ContainsFunc(x.effects, func(e impact.Effect) bool { return x.decision(&e) == nil }))
	}
	return cmd
}

// impacted is an answer in the making.
type impacted struct {
	*judged
	o        *impactOptions
	subject  string // as named
	kind     string // device, artifact or certificate
	about    string // the device or artifact; that of the certificate
	fallen   *rules.Fallen
	artifact bool // fallen is about an artifact or a certificate of one
	doubts   []rules.Doubt
	effects  []impact.Effect
	unread   []records.Unreadable // job records that cannot be used, and records of what was asked for
	cases    []rules.Case         // about the subject
	drafts   []string             // files written
}

// ask finds what was named, and what is in doubt through it.
func (o *impactOptions) ask(j *judged, name string) (*impacted, error) {
	x := &impacted{judged: j, o: o, subject: name, about: name, unread: impact.Unread(j.set, name)}
	_, isDevice := j.set.Devices[name]
	_, isArtifact := j.set.Artifacts[name]
	for _, u := range x.unread {
		if !isDevice && !isArtifact && u.Subject == name && (u.Kind == "device" || u.Kind == "artifact") {
			return nil, unreadable(fmt.Sprintf("the record of %s %s cannot be used: %s", u.Kind, name, u.Message), "mend "+u.File+" first", nil)
		}
	}
	switch {
	case isDevice:
		x.kind = "device"
		if o.since.given() {
			x.doubts = rules.DoubtsSince(j.set, j.at, j.options, name, o.since.value.StartIn(j.set.Site.Zone))
		} else {
			x.doubts = rules.Doubts(j.set, j.at, j.options, name)
		}
	case isArtifact:
		x.kind = "artifact"
		r := rules.Reference{Artifact: name}
		if o.since.given() {
			r.Since = o.since.value.StartIn(j.set.Site.Zone)
		}
		x.through(r)
	default:
		cert, err := j.certificate(name)
		if err != nil {
			return nil, err
		}
		if o.since.given() {
			return nil, misused("--since with a certificate, expected a device or an artifact", "leave it out: a certificate counts from its own day")
		}
		x.kind, x.about, x.unread = "certificate", cert.Subject, impact.Unread(j.set, cert.Subject)
		r := rules.Reference{Certificate: cert.File}
		if j.set.Artifacts[cert.Subject] != nil {
			r.Artifact = cert.Subject
		}
		x.through(r)
	}
	x.keep(o.quantity)
	x.effects = impact.Of(x.doubts, "")
	for i := range j.assessment.Devices {
		if d := &j.assessment.Devices[i]; d.ID == x.about {
			x.cases = append(x.cases, d.Cases...)
		}
	}
	for i := range j.assessment.Artifacts {
		if a := &j.assessment.Artifacts[i]; a.ID == x.about {
			x.cases = append(x.cases, a.Cases...)
		}
	}
	return x, nil
}

// keep leaves out what is of another quantity than the one asked for.
func (x *impacted) keep(q *parsed[records.Quantity]) {
	if q.given() {
		x.doubts = slices.DeleteFunc(x.doubts, func(d rules.Doubt) bool { return d.Limit.Quantity != q.value })
	}
}

func (x *impacted) through(r rules.Reference) {
	fallen, _ := rules.DoubtsThrough(x.set, x.at, x.options, r)
	x.fallen, x.doubts, x.artifact = &fallen, fallen.Doubts, r.Artifact != ""
}

// certificate finds a certificate by its number or the path of its record.
func (j *judged) certificate(name string) (*records.Certificate, error) {
	var found []*records.Certificate
	known := append(sortedIDs(j.set.Devices), sortedIDs(j.set.Artifacts)...)
	for _, id := range sortedIDs(j.set.Certificates) {
		for _, c := range j.set.Certificates[id] {
			known = append(known, c.Number)
			if c.Number == name || strings.TrimSuffix(c.File, ".toml") == strings.TrimSuffix(name, ".toml") {
				found = append(found, c)
			}
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		mend := `"plumbrule status" lists the devices`
		if near := spelling.Nearest(name, known); near != "" {
			mend = fmt.Sprintf("did you mean %q? %s", near, mend)
		}
		return nil, misused(fmt.Sprintf("there is no device, artifact or certificate %q", name), mend)
	}
	var files []string
	for _, c := range found {
		files = append(files, c.File)
	}
	return nil, misused(fmt.Sprintf("%d certificates have the number %q", len(found), name), "name the record: "+either(files))
}

// decision is the last that stands about a job in a case about what was asked for; nil: none.
func (x *impacted) decision(e *impact.Effect) *records.CaseStep {
	for i := range x.cases {
		if s := x.cases[i].Decisions[e.Job.ID]; s != nil {
			return s
		}
	}
	return nil
}
