package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"plumbrule/records/quantity"

	"plumbrule/records/spelling"
)

// groupAnnotation is the key under which a flag carries the heading it stands under in help.
const groupAnnotation = "group"

// parsed is a flag whose text is read by a function, at once, so that a mistake is told with the flag's name.
type parsed[T any] struct {
	value T
	text  string
	read  func(string) (T, error)
}

func (p *parsed[T]) String() string { return p.text }
func (p *parsed[T]) Type() string   { return "value" }

func (p *parsed[T]) Set(text string) error {
	value, err := p.read(text)
	if err != nil {
		return err
	}
	p.value, p.text = value, text
	return nil
}

// given tells whether the flag was used.
func (p *parsed[T]) given() bool { return p.text != "" }

// flagSet adds flags to one verb, each under a heading of its help.
type flagSet struct {
	*pflag.FlagSet
	group string
}

func flagsOf(cmd *cobra.Command) *flagSet {
	cmd.Flags().SortFlags = false
	return &flagSet{FlagSet: cmd.Flags()}
}

// head starts a new heading; flags that follow stand under it.
func (f *flagSet) head(title string) { f.group = title }

func (f *flagSet) headed(name string) {
	f.Lookup(name).Annotations = map[string][]string{groupAnnotation: {f.group}}
}

func readFlag[T any](f *flagSet, name, usage string, read func(string) (T, error)) *parsed[T] {
	p := &parsed[T]{read: read}
	f.Var(p, name, usage)
	f.headed(name)
	return p
}

func (f *flagSet) length(name, usage string) *parsed[quantity.Length] {
	return readFlag(f, name, usage, quantity.ParseLength)
}

func (f *flagSet) text(name, usage string) *string {
	p := new(string)
	f.Var(textFlag{p}, name, usage)
	f.headed(name)
	return p
}

// textFlag is a flag that takes any text but none: an empty one is a variable that a script forgot to set.
type textFlag struct{ into *string }

func (t textFlag) String() string {
	if t.into == nil {
		return ""
	}
	return *t.into
}

func (t textFlag) Type() string { return "text" }

func (t textFlag) Set(text string) error {
	if strings.TrimSpace(text) == "" {
		return &failure{what: `"", expected a text`, mend: "leave the flag out where there is nothing to say"}
	}
	*t.into = text
	return nil
}

func (f *flagSet) whole(name, usage string, value, least, most int) *parsed[int] {
	p := readFlag(f, name, usage, func(text string) (int, error) {
		n, err := strconv.Atoi(text)
		if err != nil || n < least || n > most {
			return 0, fmt.Errorf("%q, expected a whole number from %d to %d", text, least, most)
		}
		return n, nil
	})
	p.value = value
	return p
}

func (f *flagSet) yes(name, usage string) *bool {
	p := f.Bool(name, false, usage)
	f.headed(name)
	return p
}

// strict adds the flag that turns findings into exit status 1.
func (f *flagSet) strict() *bool {
	return f.yes("strict", "exit with status 1 if something needs attention")
}

// oneOf reads one of a few words.
func oneOf[T ~string](words ...T) func(string) (T, error) {
	return func(text string) (T, error) {
		if slices.Contains(words, T(text)) {
			return T(text), nil
		}
		var names []string
		for _, w := range words {
			names = append(names, string(w))
		}
		mend := ""
		if near := spelling.Nearest(text, names); near != "" {
			mend = fmt.Sprintf("did you mean %q?", near)
		}
		return "", &failure{what: fmt.Sprintf("%q, expected %s", text, either(names)), mend: mend}
	}
}

// either joins names to "a, b or c".
func either(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
