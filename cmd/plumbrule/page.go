package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
)

// page is text in three depths, broken to the width only when it is printed.
type page struct{ lines []pageLine }

type pageLine struct {
	depth int // 0: heading
	text  string
}

func (p *page) head(format string, args ...any) { p.add(0, format, args...) }
func (p *page) item(format string, args ...any) { p.add(1, format, args...) }
func (p *page) sub(format string, args ...any)  { p.add(2, format, args...) }

func (p *page) add(depth int, format string, args ...any) {
	p.lines = append(p.lines, pageLine{depth, fmt.Sprintf(format, args...)})
}

// plain writes the text broken to the width, each depth further in.
func (p *page) plain(out *strings.Builder, width int) {
	for i, line := range p.lines {
		if line.depth == 0 && i > 0 {
			out.WriteByte('\n')
		}
		margin := strings.Repeat("  ", line.depth)
		hang := 2
		if line.depth == 0 {
			hang = 0
		}
		text := show.Paragraph(show.Text(line.text), width-len(margin), hang)
		for l := range strings.Lines(text) {
			out.WriteString(margin + l)
		}
	}
}

// markdown writes headings and nested lists.
func (p *page) markdown(out *strings.Builder) {
	for i, line := range p.lines {
		text := table.Escape(show.Text(line.text))
		switch {
		case line.depth > 0:
			out.WriteString(strings.Repeat("  ", line.depth-1) + "- " + text + "\n")
		case i == 0:
			out.WriteString("## " + text + "\n\n")
		default:
			out.WriteString("\n## " + text + "\n\n")
		}
	}
}
