package table_test

import (
	"os"

	"plumbrule/cmd/plumbrule/internal/table"
)

func ExampleTable_Plain() {
	t := table.Table{Columns: []table.Column{
		{Title: "feature"},
		{Title: "error", Unit: "µm", Align: table.Decimal},
		{Title: "verdict"},
	}}
	t.Add(table.Text("A"), table.Number("-0.4", -0.4123), table.Word("pass", table.Good))
	t.Add(table.Text("A-C"), table.Number("+31.2", 31.2), table.Word("pass", table.Good))
	t.Plain(os.Stdout, table.Screen{})
	// Output:
	// feature  error (µm)  verdict
	// ────────────────────────────
	// A              -0.4  pass
	// A-C           +31.2  pass
}
