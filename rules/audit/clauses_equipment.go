package audit

type shown = []func(*finder) []Evidence

// equipmentClauses are those of ISO/IEC 17025:2017, 6.4.4 to 6.4.13, by letters.
func equipmentClauses() []asked {
	q := func(number, question string, by shown, own string, only bool) asked {
		return asked{Clause{lab, number, question}, by, own, only}
	}
	return []asked{
		q("6.4.4", "Is equipment verified against its requirements before it is put, or put back, into service?", shown{acceptances, returns}, "", false),
		q("6.4.5", "Is it accurate or certain enough for a valid result?", shown{limits, jobTolerances}, "", false),
		q("6.4.6", "Is it calibrated where that affects the result or traceability must be shown, and is there a reason where it is not?", shown{calibrations, uncalibrated}, "", false),
		q("6.4.7", "Is there a calibration programme, and is it reviewed and adjusted?", shown{programme, intervalChanges}, "", false),
		q("6.4.8", "Can anyone see the status or the period of validity?", shown{status}, "that the label on the device says the same is for the laboratory to show", false),
		q("6.4.9", "Is what is overloaded, mishandled, suspect or out of limits taken out until proven, and its effect examined?", shown{withdrawals, caseRecords}, "", true),
		q("6.4.10", "Are intermediate checks made where they are needed, by a procedure?", shown{checks, procedures}, "", false),
		q("6.4.11", "Are reference values and corrections from certificates kept up to date and used?", shown{references}, "", false),
		q("6.4.12", "Is unintended adjustment prevented?", shown{adjustments}, "seals, passwords and locked settings are for the laboratory to show: records name the adjustments that were made, not that there were no others", false),
		q("6.4.13 a", "Is its identity recorded, with software and firmware version?", shown{register, firmwareVersions}, "", false),
		q("6.4.13 b", "Are maker, type and serial number or another unique mark recorded?", shown{register}, "", false),
		q("6.4.13 c", "Is there evidence that it conforms?", shown{verdicts}, "", false),
		q("6.4.13 d", "Is it known where it is now?", shown{places}, "", false),
		q("6.4.13 e", "Are dates and results of calibrations, adjustments, acceptance criteria and the next due date recorded?", shown{calibrations, adjustments, programme}, "", false),
		q("6.4.13 f", "Are documents, results, criteria, dates and validity of reference materials recorded?", shown{references}, "", true),
		q("6.4.13 g", "Are the maintenance plan and what was done recorded?", shown{repairs}, "a plan of maintenance is for the laboratory to show: records hold repairs and adjustments alone", false),
		q("6.4.13 h", "Are damage, malfunction, modification and repair recorded?", shown{incidents}, "", true),
	}
}

// laboratoryClauses are the others of ISO/IEC 17025:2017.
func laboratoryClauses() []asked {
	q := func(number, question string, by shown, own string, only bool) asked {
		return asked{Clause{lab, number, question}, by, own, only}
	}
	return []asked{
		q("6.5.1", "Is there an unbroken, documented chain of calibrations to a reference, each with its uncertainty?", shown{chains}, "", false),
		q("6.5.2", "Is the laboratory competent, as its accreditation and scope on the day show?", shown{laboratories}, "", false),
		q("6.5.3", "Where traceability to the SI is not possible: to which reference is it shown?", shown{traceability}, "", false),
		q("7.6.1", "Are all contributions to the uncertainty considered?", shown{budgets}, "that no contribution is missing is for the laboratory to show", false),
		q("7.6.2", "Is the uncertainty of every calibration of the laboratory's own evaluated, also of its own equipment?", shown{budgets}, "", false),
		q("7.6.3", "Is the uncertainty of the measurements delivered evaluated?", shown{jobTolerances}, "the budget of each measurement delivered is for the laboratory to show: a job records tolerance, length and path", false),
		q("7.7.1", "Is the validity of results monitored so that trends are seen?", shown{charts, checks}, "", false),
		q("7.7.2", "Are results compared with those of others?", nil, "proficiency tests and comparisons with other laboratories are for the laboratory to show", false),
		q("7.7.3", "Are these data evaluated against criteria, and acted on before wrong results go out?", shown{signalsSeen, caseRecords}, "", false),
		q("7.8.2", "Do certificates state what they must: item, dates, conditions, results with unit, uncertainty?", shown{calibrations}, "what the laboratory's own reports state is for the laboratory to show", false),
		q("7.8.4", "Do calibration certificates state traceability, and results before and after an adjustment?", shown{asFounds}, "", false),
		q("7.8.6", "Which decision rule, limit and risk belong to a statement of conformity?", shown{decisions}, "", false),
		q("7.10.1", "Is nonconforming work dealt with: by whom, by which risk, with earlier results, customers told, authority to resume?", shown{caseRecords, jobDecisions, notices}, "", true),
		q("7.10.2", "Are records of nonconforming work and of what was done kept?", shown{caseRecords}, "", true),
		q("7.10.3", "Is corrective action taken where it may happen again?", shown{corrections}, "", true),
		q("8.4", "Are records legible, kept, protected, backed up, retrievable, for how long?", shown{kept, amendments}, "backup, the last restoring and the time of retention are for the laboratory to show", false),
	}
}
