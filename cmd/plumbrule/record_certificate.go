package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// certificateFlags are the flags of record certificate.
type certificateFlags struct {
	commonFlags
	number, laboratory, accreditation, traceability *string
	scope                                           *string
	date, issued, received, reviewDate              *parsed[calendar.Date]
	adjusted                                        *bool
	values, asFound, asLeft, standards              *[]string
	reviewedBy, outcome, acceptedFor, reviewReason  *string
	attachment                                      *string
}

func newRecordCertificateCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "certificate ARTIFACT | DEVICE",
		Short: "record a calibration certificate, and its incoming review",
		Long: "An artifact's certificate states values (--value), a device's states errors found before any adjustment (--as-found) and, " +
			"if it was adjusted, after it (--as-left). Without review it is entered but not in force; the review may follow as an event.",
		Example: "  plumbrule record certificate bar-800 --number C-77 --date 2026-10-12 --laboratory \"Northern lab\" --by mk \\\n" +
			"    --value \"A=29.9987 mm; 0.6 µm (k = 2)\" --value \"A-C=800.0150 mm; 1.6 µm (k = 2)\" \\\n" +
			"    --reviewed-by rs --outcome accepted",
		Annotations: seeAlso(statuses("0", "the record was written", "3", "the record would contradict others, or cannot be written"), "explain", "validate"),
	}
	flags := flagsOf(cmd)
	f := certificateFlags{
		number:        flags.text("number", "`NUMBER` of the certificate"),
		date:          readFlag(flags, "date", "`DATE` of the calibration", calendar.ParseDate),
		issued:        readFlag(flags, "issued", "`DATE` of issue", calendar.ParseDate),
		received:      readFlag(flags, "received", "`DATE` of receipt", calendar.ParseDate),
		laboratory:    flags.text("laboratory", "`NAME` of the laboratory"),
		accreditation: flags.text("accreditation", "`NUMBER` of its accreditation"),
		scope:         flags.text("scope", "`QUANTITIES` the accreditation covers, apart by commas, with their ranges: \"diameter, distance up to 3 m\""),
		traceability:  flags.text("traceability", "`TEXT` of the traceability statement"),
		standards:     flags.list("standard", "a standard the laboratory used, as `NAME[;CERTIFICATE[;UNTIL]]`; once for each"),
		adjusted:      flags.yes("adjusted", "the device was adjusted during the calibration"),
		values:        flags.list("value", "a certified value of an artifact, as `FEATURE=VALUE;UNCERTAINTY`; once for each feature"),
		asFound:       flags.list("as-found", "an error of a device before adjustment, as `QUANTITY,LENGTH[,PATH]=ERROR;UNCERTAINTY`; once for each point"),
		asLeft:        flags.list("as-left", "an error after it, as `QUANTITY,LENGTH[,PATH]=ERROR;UNCERTAINTY`"),
		reviewedBy:    flags.text("reviewed-by", "`INITIALS` of who reviewed the certificate"),
		reviewDate:    readFlag(flags, "review-date", "`DATE` of the review; today if not given", calendar.ParseDate),
		outcome:       flags.text("outcome", "what came of the review, in a `WORD`: accepted, accepted with limits or sent back"),
		acceptedFor:   flags.text("accepted-for", "`QUANTITIES` it is accepted for, apart by commas; with limits only"),
		reviewReason:  flags.text("review-reason", "why limited or sent back, as a `TEXT`"),
		attachment:    flags.text("attachment", "`FILE` of the certificate, inside the repository; its SHA-256 is recorded"),
	}
	f.commonFlags = flags.common()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		certificate, err := r.certificate(args, &f)
		if err != nil {
			return err
		}
		return r.finish(cmd, records.CertificatePath(certificate), certificate, certificate.Subject)
	}
	return cmd
}

func (r *recording) certificate(args []string, f *certificateFlags) (*records.Certificate, error) {
	subject, err := r.subject(args, "device or artifact", slices.Concat(sortedIDs(r.set.Artifacts), sortedIDs(r.set.Devices)))
	if err != nil {
		return nil, err
	}
	c := &records.Certificate{
		Subject: subject, Date: f.date.value, Issued: f.issued.value, Received: f.received.value, Accreditation: *f.accreditation,
		Traceability: *f.traceability, Adjusted: *f.adjusted, Entered: r.now, Note: *f.note, Amends: *f.amends, Reason: *f.reason,
	}
	if c.Number, err = answered(r, question{flag: "number", given: *f.number, text: "the certificate's number"}, anyText); err != nil {
		return nil, err
	}
	if c.Laboratory, err = answered(r, question{flag: "laboratory", given: *f.laboratory, text: "the laboratory"}, anyText); err != nil {
		return nil, err
	}
	if c.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who enters it"}, anyText); err != nil {
		return nil, err
	}
	if c.Date.IsZero() {
		if c.Date, err = answered(r, question{flag: "date", text: "the day of the calibration, as 2026-10-05"}, calendar.ParseDate); err != nil {
			return nil, err
		}
	}
	if c.Scope, c.Ranges, err = scopeOf("--scope", *f.scope); err != nil {
		return nil, err
	}
	if c.Standards, err = standardsOf("--standard", *f.standards); err != nil {
		return nil, err
	}
	if err := certifiedValues(c, f); err != nil {
		return nil, err
	}
	if err := r.askCertified(c); err != nil {
		return nil, err
	}
	if err := r.review(c, f); err != nil {
		return nil, err
	}
	c.Attachment, err = r.attach(*f.attachment)
	return c, err
}

// certifiedValues reads values of an artifact and errors of a device.
func certifiedValues(c *records.Certificate, f *certificateFlags) error {
	for _, entry := range *f.values {
		feature, value, uncertainty, err := statement("--value", entry)
		if err != nil {
			return err
		}
		c.Values = append(c.Values, records.CertifiedValue{Feature: feature, Value: value, Uncertainty: uncertainty})
	}
	var err error
	if c.AsFound, err = certifiedErrors("--as-found", *f.asFound); err != nil {
		return err
	}
	c.AsLeft, err = certifiedErrors("--as-left", *f.asLeft)
	return err
}

// statement reads NAME=LENGTH;UNCERTAINTY.
func statement(flag, entry string) (name string, value quantity.Length, uncertainty quantity.LengthUncertainty, err error) {
	name, rest, named := strings.Cut(entry, "=")
	figure, doubt, stated := strings.Cut(rest, ";")
	if !named || !stated {
		return "", value, uncertainty, misused(fmt.Sprintf("%s: %q, expected a name, the value and its uncertainty", flag, entry),
			`write for example "A=29.9987 mm; 0.6 µm (k = 2)"`)
	}
	if value, err = quantity.ParseLength(strings.TrimSpace(figure)); err != nil {
		return "", value, uncertainty, spoken(flag, err)
	}
	if uncertainty, err = quantity.ParseLengthUncertainty(strings.TrimSpace(doubt)); err != nil {
		return "", value, uncertainty, spoken(flag, err)
	}
	return strings.TrimSpace(name), value, uncertainty, nil
}

func certifiedErrors(flag string, entries []string) ([]records.CertifiedError, error) {
	var out []records.CertifiedError
	for _, entry := range entries {
		where, value, uncertainty, err := statement(flag, entry)
		if err != nil {
			return nil, err
		}
		parts := strings.Split(where, ",")
		if len(parts) < 2 || len(parts) > 3 {
			return nil, misused(fmt.Sprintf("%s: %q, expected quantity and length", flag, where), `write for example "distance,800 mm,2.6 m=12 µm; 4 µm (k = 2)"`)
		}
		quantities, err := quantityList(flag, parts[0])
		if err != nil {
			return nil, err
		}
		e := records.CertifiedError{Quantity: quantities[0], Error: value, Uncertainty: uncertainty}
		if e.Length, err = quantity.ParseLength(strings.TrimSpace(parts[1])); err != nil {
			return nil, spoken(flag, err)
		}
		if len(parts) == 3 {
			if e.Path, err = quantity.ParseLength(strings.TrimSpace(parts[2])); err != nil {
				return nil, spoken(flag, err)
			}
		}
		out = append(out, e)
	}
	return out, nil
}

// quantityList reads names of quantities apart by commas.
func quantityList(flag, text string) ([]records.Quantity, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var known []string
	for _, q := range records.Quantities() {
		known = append(known, string(q.Name))
	}
	var out []records.Quantity
	for name := range strings.SplitSeq(text, ",") {
		name = strings.TrimSpace(name)
		if !slices.Contains(known, name) {
			return nil, misused(fmt.Sprintf("%s: there is no quantity %q", flag, name), nearOf(name, known))
		}
		out = append(out, records.Quantity(name))
	}
	return out, nil
}

// review adds the incoming review, if one was stated.
func (r *recording) review(c *records.Certificate, f *certificateFlags) error {
	if *f.reviewedBy == "" && *f.outcome == "" {
		return nil
	}
	allowed, err := quantityList("--accepted-for", *f.acceptedFor)
	if err != nil {
		return err
	}
	day := f.reviewDate.value
	if day.IsZero() {
		day = calendar.Of(r.now, r.set.Site.Zone)
	}
	c.Review = &records.Review{By: *f.reviewedBy, Date: day, Outcome: records.Outcome(*f.outcome), Quantities: allowed, Reason: *f.reviewReason}
	return nil
}

// attach describes a file of the repository by its digest and size.
func (r *recording) attach(file string) (*records.Attachment, error) {
	if file == "" {
		return nil, nil //nolint:nilnil // no attachment is an answer
	}
	path := r.env.path(file)
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, unreadable(err.Error(), "", err)
	}
	name, err := filepath.Rel(r.repo.Root, absolute)
	if err != nil || strings.HasPrefix(name, "..") {
		return nil, misused(fmt.Sprintf("--attachment: %s lies outside the repository", file), "move it into the repository first")
	}
	f, err := os.Open(absolute)
	if err != nil {
		return nil, unreadable(err.Error(), "name a file that is there", err)
	}
	defer func() { _ = f.Close() }()
	hash := sha256.New()
	size, err := io.Copy(hash, f)
	if err != nil {
		return nil, unreadable(err.Error(), "", err)
	}
	return &records.Attachment{File: filepath.ToSlash(name), SHA256: hex.EncodeToString(hash.Sum(nil)), Size: size}, nil
}

// askCertified asks for the values of an artifact's features, or for errors of a device until an empty line, where flags give
// none.
func (r *recording) askCertified(c *records.Certificate) error {
	if r.ask.in == nil || len(c.Values)+len(c.AsFound)+len(c.AsLeft) > 0 {
		return nil
	}
	if a := r.set.Artifacts[c.Subject]; a != nil {
		for i := range a.Features {
			name := a.Features[i].Name
			entry, err := answered(r, question{flag: "value", text: "certified value of " + name + ", as 29.9987 mm; 0.6 µm (k = 2)"}, func(text string) (records.CertifiedValue, error) {
				_, value, uncertainty, err := statement("--value", name+"="+text)
				return records.CertifiedValue{Feature: name, Value: value, Uncertainty: uncertainty}, err
			})
			if err != nil {
				return err
			}
			c.Values = append(c.Values, entry)
		}
		return nil
	}
	for {
		text, err := r.ask.optional("error found before adjustment, as distance,800 mm,2.6 m=12 µm; 4 µm (k = 2); an empty line ends", nil)
		if err != nil || text == "" {
			return err
		}
		list, err := certifiedErrors("--as-found", []string{text})
		if err != nil {
			what, mend := mistake(err)
			if err := r.ask.tell(what, mend); err != nil {
				return err
			}
			continue
		}
		c.AsFound = append(c.AsFound, list...)
	}
}
