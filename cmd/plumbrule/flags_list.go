package main

import "github.com/spf13/pflag"

// repeated is a flag that may be given several times; each text is kept as it is, commas included.
type repeated struct{ texts []string }

func (r *repeated) String() string { return "" }
func (r *repeated) Type() string   { return "value" }

func (r *repeated) Set(text string) error {
	r.texts = append(r.texts, text)
	return nil
}

var _ pflag.Value = (*repeated)(nil)

func (f *flagSet) list(name, usage string) *[]string {
	r := &repeated{}
	f.Var(r, name, usage)
	f.headed(name)
	return &r.texts
}
