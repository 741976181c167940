package audit

// Findings lists what an auditor would find, worst first.
func Findings(in Input) []Finding { return newFinder(in).findings() }

// findings looks everywhere, once.
func (f *finder) findings() []Finding {
	f.unreadable()
	f.rewritten()
	for _, id := range f.devices {
		f.doubted(id)
		f.standing(id)
		f.firmware(id)
		f.signals(id)
	}
	f.cases()
	f.due()
	f.pastGaps()
	f.references()
	f.jobs()
	f.certificates()
	f.files()
	f.entered()
	f.register()
	f.intervals()
	f.decisionRules()
	return f.sorted()
}
