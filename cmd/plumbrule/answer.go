package main

import (
	"io"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
)

// answer is what a verb found, in every form in which it can be asked for.
type answer struct {
	JSON any         // a struct with snake_case fields; slices are never nil, so that none is [] and not null
	CSV  table.Table // one row a result

	// For people: a table between sentences. Text in it is foreign and is made safe in print. A table without columns is
	// left out.
	Above    []string
	Verbatim []string // lines that are printed as they are, unbroken
	Table    table.Table
	Below    []string
	Page     *page     // headed text after all that; nil: none
	Sections []section // headed tables after all that

	// Draw, if there is one, takes the place of all that in plain print. It makes its text safe itself.
	Draw func(w io.Writer, width int) error
}

// section is a table under a heading, between sentences. A table without columns is left out.
type section struct {
	Head         string
	Above, Below []string
	Table        table.Table
}

// print writes the answer to Stdout.
func (e env) print(f format, a answer) error {
	switch f {
	case formatJSON:
		return table.JSON(e.Stdout, a.JSON)
	case formatCSV:
		return a.CSV.CSV(e.Stdout)
	case formatMarkdown:
		return a.markdown(e.Stdout)
	case formatTable:
	}
	if a.Draw != nil {
		return a.Draw(e.Stdout, e.width())
	}
	return a.plain(e.Stdout, e.screen(), e.width())
}

func (a answer) plain(w io.Writer, screen table.Screen, width int) error {
	var out strings.Builder
	for _, sentence := range a.Above {
		out.WriteString(show.Paragraph(show.Text(sentence), width, 2))
	}
	for _, line := range a.Verbatim {
		out.WriteString(show.Text(line) + "\n")
	}
	if len(a.Table.Columns) > 0 {
		apart(&out)
		if err := a.Table.Plain(&out, screen); err != nil {
			return err
		}
	}
	for i, sentence := range a.Below {
		if i == 0 {
			apart(&out)
		}
		out.WriteString(show.Paragraph(show.Text(sentence), width, 2))
	}
	if a.Page != nil && len(a.Page.lines) > 0 {
		apart(&out)
		a.Page.plain(&out, width)
	}
	for _, s := range a.Sections {
		apart(&out)
		out.WriteString(show.Paragraph(show.Text(s.Head), width, 2))
		part := answer{Above: s.Above, Table: s.Table, Below: s.Below}
		if err := part.plain(&out, screen, width); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, out.String())
	return err
}

func (a answer) markdown(w io.Writer) error {
	var out strings.Builder
	sentences := func(all []string) {
		for _, sentence := range all {
			apart(&out)
			out.WriteString(table.Escape(show.Text(sentence)) + "\n")
		}
	}
	sentences(a.Above)
	if len(a.Verbatim) > 0 {
		apart(&out)
		out.WriteString("```\n")
		for _, line := range a.Verbatim {
			out.WriteString(show.Text(line) + "\n")
		}
		out.WriteString("```\n")
	}
	if len(a.Table.Columns) > 0 {
		apart(&out)
		if err := a.Table.Markdown(&out); err != nil {
			return err
		}
	}
	sentences(a.Below)
	if a.Page != nil && len(a.Page.lines) > 0 {
		apart(&out)
		a.Page.markdown(&out)
	}
	for _, s := range a.Sections {
		apart(&out)
		out.WriteString("## " + table.Escape(show.Text(s.Head)) + "\n\n")
		part := answer{Above: s.Above, Table: s.Table, Below: s.Below}
		if err := part.markdown(&out); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// apart leaves an empty line, unless nothing is above it.
func apart(out *strings.Builder) {
	if out.Len() > 0 {
		out.WriteByte('\n')
	}
}
