package main

import "github.com/spf13/cobra"

// format is the form in which a verb prints its results.
type format string

const (
	formatTable    format = "table"
	formatJSON     format = "json"
	formatCSV      format = "csv"
	formatMarkdown format = "markdown"
)

func newFormatFlag() *parsed[format] {
	return &parsed[format]{
		value: formatTable, text: string(formatTable),
		read: oneOf(formatTable, formatJSON, formatCSV, formatMarkdown),
	}
}

// formatOf returns what the user chose.
func formatOf(cmd *cobra.Command) format {
	return format(cmd.Flags().Lookup("format").Value.String())
}
