package audit

import (
	"plumbrule/records"
	"plumbrule/rules"
)

func anyCertificate(string, *records.Certificate) bool { return true }
func anyCheck(*records.Check) bool                     { return true }

func (f *finder) ofArtifact(id string) bool { return f.Set.Artifacts[id] != nil }

func acceptances(f *finder) []Evidence {
	return append(f.checksWhere("made as acceptance", func(k *records.Check) bool { return k.Purpose == records.AcceptanceCheck }),
		f.accepted("accepted and in force in the period", anyCertificate)...)
}

func returns(f *finder) []Evidence {
	return f.events("returning something to service, naming the evidence", func(e *records.Event) bool { return e.Kind == records.ReturnToService && e.Evidence != "" })
}

func limits(f *finder) []Evidence {
	return f.definitions("stating the maximum permissible error that the device is judged by", func(d *records.Device) bool { return len(d.Limits) > 0 }, nil)
}

func jobTolerances(f *finder) []Evidence {
	var t tally
	for _, j := range f.jobsLookedAt() {
		if len(j.Measured) > 0 {
			t.count(j.ID, j.File)
		}
	}
	return t.says("job", "stating tolerance and length of what was measured")
}

func calibrations(f *finder) []Evidence {
	return f.accepted("with values, uncertainties, day and laboratory in force in the period", anyCertificate)
}

func uncalibrated(f *finder) []Evidence {
	return f.definitions("giving the reason why no calibration is required",
		func(d *records.Device) bool { return d.Calibration.NotRequired != "" }, func(a *records.Artifact) bool { return a.Calibration.NotRequired != "" })
}

func programme(f *finder) []Evidence {
	return f.definitions("stating the calibration interval",
		func(d *records.Device) bool { return !d.Calibration.Interval.IsZero() }, func(a *records.Artifact) bool { return !a.Calibration.Interval.IsZero() })
}

func intervalChanges(f *finder) []Evidence {
	return f.events("setting or confirming an interval, or extending one, with the reason", kinds(records.IntervalChange, records.Extension))
}

// status is the fitness of each device at the end of the period.
func status(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		if d := &f.Assessment.Devices[i]; f.looksAt(d.ID) && d.Record != nil {
			t.count(d.ID, d.Record.File)
		}
	}
	return t.says("device", "with a fitness, its reasons and its due dates computed for the end of the period")
}

func withdrawals(f *finder) []Evidence {
	return f.events("taking something out of service, limiting it or putting it in doubt", kinds(records.Withdrawal, records.Retirement, records.Limitation, records.Doubt))
}

func checks(f *finder) []Evidence { return f.checksWhere("made in the period", anyCheck) }

func procedures(f *finder) []Evidence {
	return f.checksWhere("naming the revision of the procedure that was followed", func(k *records.Check) bool { return k.Revision != "" })
}

func references(f *finder) []Evidence {
	return f.accepted("giving the reference values of checks", func(id string, _ *records.Certificate) bool { return f.ofArtifact(id) })
}

func adjustments(f *finder) []Evidence {
	return f.events("telling of an adjustment", kinds(records.Adjustment))
}

func register(f *finder) []Evidence {
	return f.definitions("stating what it is and its serial number",
		func(d *records.Device) bool { return d.Kind != "" && d.Serial != "" }, func(a *records.Artifact) bool { return a.Kind != "" && a.Serial != "" })
}

func firmwareVersions(f *finder) []Evidence {
	return append(f.definitions("stating the firmware", func(d *records.Device) bool { return d.Firmware != "" }, nil),
		f.events("changing the firmware", kinds(records.FirmwareChange))...)
}

func verdicts(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		d := &f.Assessment.Devices[i]
		for j := range d.Evidence {
			if f.looksAt(d.ID) {
				t.count(d.ID, d.Evidence[j].Source.File)
			}
		}
	}
	return t.says("verdict", "by the decision rule, standing at the end of the period")
}

func places(f *finder) []Evidence {
	var t tally
	for i := range f.Assessment.Devices {
		if d := &f.Assessment.Devices[i]; f.looksAt(d.ID) && d.Record != nil && d.Service.Location != "" && d.Service.State != rules.Retired {
			t.count(d.ID, d.Record.File)
		}
	}
	return t.says("device", "with a place in the records")
}

func repairs(f *finder) []Evidence {
	return f.events("telling of a repair or an adjustment", kinds(records.Repair, records.Adjustment))
}

func incidents(f *finder) []Evidence {
	return f.events("telling of a repair, an incident or a change of firmware", kinds(records.Repair, records.Doubt, records.FirmwareChange))
}
