package audit

// confirmationClauses are those of ISO 10012:2003.
func confirmationClauses() []asked {
	q := func(number, question string, by shown, own string, only bool) asked {
		return asked{Clause{measures, number, question}, by, own, only}
	}
	return []asked{
		q("5.4", "Does the management review the measurement management system?", nil, "the management review is for the laboratory to show", false),
		q("6.2.2", "Is software documented, identified and checked?", nil, "plumbrule selftest shows it for this program; other software is for the laboratory to show", false),
		q("6.2.3", "Are records identified, stored and kept for a set time?", shown{kept}, "the time of retention is for the laboratory to show", false),
		q("6.2.4", "Is equipment identified, with its status and the limits of its use?", shown{register, status}, "", false),
		q("6.3.1", "Is equipment confirmed before use, in a known environment?", shown{acceptances, temperatures}, "", false),
		q("6.4", "Are outside suppliers chosen and their work looked at?", shown{laboratories, reviews}, "how laboratories are chosen is for the laboratory to show", false),
		q("7.1.1", "Is confirmation calibration, comparison with the requirement, and decision?", shown{reviews, verdicts}, "", false),
		q("7.1.2", "Are intervals revised on evidence, and after every repair or adjustment?", shown{programme, intervalChanges}, "", false),
		q("7.1.3", "Is adjustment sealed, and what is done when a seal is broken?", nil, "seals are for the laboratory to show: no record tells of them", false),
		q("7.1.4", "Do confirmation records state who, when, with what result, by which procedure and requirement, and with which traceability?", shown{calibrations, checks, procedures}, "", false),
		q("7.2", "Is the measurement process planned and controlled as a whole?", shown{procedures, jobTolerances}, "the measurement processes beside checks are for the laboratory to show", false),
		q("7.3.1", "Is the uncertainty estimated before confirmation?", shown{budgets}, "", false),
		q("7.3.2", "Are results traceable to the SI?", shown{chains, traceability}, "", false),
		q("8.2.4", "Are measurement processes and confirmation monitored?", shown{charts, checks}, "", false),
		q("8.3.2", "Is a measurement process found wrong marked and not used?", shown{caseRecords}, "", true),
		q("8.3.3", "Is equipment found wrong taken out, kept apart, and not returned before it is confirmed anew; and what of earlier results?", shown{withdrawals, returns, caseRecords}, "", true),
	}
}

// qualityClauses are those of ISO 9001:2015.
func qualityClauses() []asked {
	const question = "Is equipment calibrated or verified against traceable standards, identified, safeguarded, and are earlier results examined when it is found unfit?"
	return []asked{{
		Clause: Clause{quality, "7.1.5.2", question}, shown: shown{calibrations, status, caseRecords},
		own: "safeguarding against damage and decay is for the laboratory to show",
	}}
}
