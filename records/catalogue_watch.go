package records

// settingCodes are the diagnostics of the watcher's settings.
func settingCodes() []Code {
	return []Code{
		{"unusable-setting", Error, "a setting that cannot be used", "The text is not of the form its key needs: an address, a pattern, a path, the name of a variable.", "write it as the message shows"},
		{"unsafe-setting", Error, "a setting that would do harm", "What is set would work, and would let strangers in, send a password in the clear, or tell nobody new.", "close it as the message shows"},
		{"unknown-channel", Error, "no such channel", "A setting names a channel that is not in the list.", "add [[channel]] with this name, or mend the name"},
		{"unknown-person", Error, "no such person", "A setting names somebody who is not in the list.", "add [[person]] with these initials, or mend them"},
		{"duplicate-name", Error, "one name for two things", "Two persons or two channels have the same name, and nothing says which is meant.", "rename one of them"},
		{"setting-without-effect", Warning, "a setting for what is not there", "A setting of the watcher names a device, an artifact, a procedure or a kind that no record describes.", "mend the name, or delete it"},
	}
}
