package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"plumbrule/cmd/plumbrule/internal/show"
)

// The keys under which a verb keeps what help prints beside cobra's own fields. The exit statuses stand here because help
// and manual pages share them.
const (
	exitAnnotation    = "exit-status-" // followed by the status: what it means for this verb
	seeAlsoAnnotation = "see-also"     // verbs, with a blank between them
	orderAnnotation   = "order"        // of the program's verbs, with a blank between them
)

// statuses makes the annotations that say what the exit statuses of a verb mean: status and meaning in turn. Wrong usage is
// the same for every verb and is added where nothing is said about it.
func statuses(pairs ...string) map[string]string {
	out := map[string]string{exitAnnotation + "2": "the command line cannot be used"}
	for i := 0; i+1 < len(pairs); i += 2 {
		out[exitAnnotation+pairs[i]] = pairs[i+1]
	}
	return out
}

// seeAlso adds the verbs that a reader of the help may want next.
func seeAlso(annotations map[string]string, verbs ...string) map[string]string {
	annotations[seeAlsoAnnotation] = strings.Join(verbs, " ")
	return annotations
}

// inOrder adds verbs that help is to list in this order, within their groups. Cobra's own switch for that is global.
func inOrder(root *cobra.Command, verbs ...*cobra.Command) {
	var names []string
	for _, verb := range verbs {
		names = append(names, verb.Name())
	}
	root.Annotations = map[string]string{orderAnnotation: strings.Join(names, " ")}
	root.AddCommand(verbs...)
}

// newHelpCommand replaces cobra's: an unknown verb is an error here, not a remark.
func newHelpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:         "help [VERB]",
		Short:       "list the verbs, or say what one of them does",
		Example:     "  plumbrule help\n  plumbrule help decide",
		GroupID:     groupProgram,
		Annotations: seeAlso(statuses("0", "the help was printed", "2", "there is no such verb"), "version"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return root.Help()
			}
			if verb, rest, err := root.Find(args); err == nil && verb != root && len(rest) == 0 {
				return verb.Help()
			}
			return unknownVerb(root, args[0])
		},
	}
}

// writeHelp prints the help of a verb, or of the program, at most width columns wide. What cannot be written is nobody's
// concern here: the reader of the help has gone.
func writeHelp(w io.Writer, cmd *cobra.Command, width int) {
	page := &helpPage{width: min(width, 100)}
	page.line(cmd.CommandPath() + ": " + cmd.Short)
	page.head("Synopsis")
	for use := range strings.SplitSeq(synopsis(cmd), "\n") {
		page.indented(use, 4)
	}
	if cmd.Long != "" {
		page.out.WriteByte('\n')
		for i, paragraph := range strings.Split(cmd.Long, "\n\n") {
			if i > 0 {
				page.out.WriteByte('\n')
			}
			page.out.WriteString(show.Paragraph(paragraph, page.width, 0))
		}
	}
	page.verbs(cmd)
	if cmd.Example != "" {
		page.head("Examples")
		for line := range strings.Lines(strings.TrimRight(cmd.Example, "\n")) {
			if line = strings.TrimPrefix(strings.TrimRight(line, "\n"), "  "); line != "" {
				line = "  " + line
			}
			page.out.WriteString(line + "\n")
		}
	}
	page.flags(cmd)
	page.endings(cmd)
	io.WriteString(w, page.out.String()) //nolint:errcheck // as said above
}

func synopsis(cmd *cobra.Command) string {
	if !cmd.HasParent() {
		return "plumbrule VERB [FLAGS]"
	}
	path := strings.TrimSuffix(cmd.CommandPath(), cmd.Name())
	return path + strings.ReplaceAll(cmd.Use, "\n", "\n"+path)
}

type helpPage struct {
	out   strings.Builder
	width int
}

func (p *helpPage) line(text string) { p.out.WriteString(show.Paragraph(text, p.width, 4)) }

func (p *helpPage) head(title string) { p.out.WriteString("\n" + title + "\n") }

func (p *helpPage) indented(text string, hang int) {
	p.out.WriteString("  " + strings.ReplaceAll(strings.TrimSuffix(show.Paragraph(text, p.width-2, hang), "\n"), "\n", "\n  ") + "\n")
}

// entries prints names with their explanations in two columns; a name too long stands on a line of its own.
func (p *helpPage) entries(entries [][2]string) {
	const widest = 22
	left := 0
	for _, e := range entries {
		if n := show.Width(e[0]); n <= widest {
			left = max(left, n)
		}
	}
	margin := strings.Repeat(" ", left+4)
	for _, e := range entries {
		name := "  " + e[0] + strings.Repeat(" ", max(0, left-show.Width(e[0]))) + "  "
		if show.Width(e[0]) > left {
			name = "  " + e[0] + "\n" + margin
		}
		p.out.WriteString(name + strings.Join(show.Lines(e[1], p.width-len(margin)), "\n"+margin) + "\n")
	}
}

func (p *helpPage) verbs(cmd *cobra.Command) {
	order := strings.Fields(cmd.Annotations[orderAnnotation])
	verbs := slices.SortedStableFunc(slices.Values(cmd.Commands()), func(a, b *cobra.Command) int {
		return slices.Index(order, a.Name()) - slices.Index(order, b.Name())
	})
	for _, group := range cmd.Groups() {
		var entries [][2]string
		for _, verb := range verbs {
			if verb.GroupID == group.ID && !verb.Hidden {
				entries = append(entries, [2]string{verb.Name(), verb.Short})
			}
		}
		if len(entries) > 0 {
			p.head(group.Title)
			p.entries(entries)
		}
	}
}

// flags prints the verb's own flags under their headings, then those that every verb has.
func (p *helpPage) flags(cmd *cobra.Command) {
	var heads []string
	byHead := map[string][][2]string{}
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		head := "Flags"
		if group := f.Annotations[groupAnnotation]; len(group) > 0 && group[0] != "" {
			head = group[0]
		}
		if cmd.Root().PersistentFlags().Lookup(f.Name) != nil {
			return
		}
		if _, known := byHead[head]; !known {
			heads = append(heads, head)
		}
		byHead[head] = append(byHead[head], flagEntry(f))
	})
	for _, head := range heads {
		p.head(head)
		p.entries(byHead[head])
	}
	var common [][2]string
	cmd.Root().PersistentFlags().VisitAll(func(f *pflag.Flag) { common = append(common, flagEntry(f)) })
	p.head("Flags of every verb")
	p.entries(common)
}

func flagEntry(f *pflag.Flag) [2]string {
	value, usage := pflag.UnquoteUsage(f)
	name := "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	if value != "" {
		name += " " + value
	}
	return [2]string{name, usage}
}

func (p *helpPage) endings(cmd *cobra.Command) {
	var statuses [][2]string
	for _, status := range []string{"0", "1", "2", "3"} {
		if text := cmd.Annotations[exitAnnotation+status]; text != "" {
			statuses = append(statuses, [2]string{status, text})
		}
	}
	if len(statuses) > 0 {
		p.head("Exit statuses")
		p.entries(statuses)
	}
	if also := strings.Fields(cmd.Annotations[seeAlsoAnnotation]); len(also) > 0 {
		p.head("See also")
		for i, verb := range also {
			also[i] = `"plumbrule help ` + verb + `"`
		}
		p.indented(strings.Join(also, ", "), 0)
	}
}
