package history_test

import (
	"fmt"

	"plumbrule/records/history"
)

// A record that was renamed as it is says what it said. One whose content was changed does not, and neither does one that a
// merge threw away.
func ExampleFile_Rewritten() {
	f := history.File{Path: "checks/b.toml", Changes: []history.Change{
		{Kind: history.Added, Path: "checks/a.toml", New: "1f7a"},
		{Kind: history.Renamed, From: "checks/a.toml", Path: "checks/b.toml", Old: "1f7a", New: "1f7a"},
		{Kind: history.Changed, Path: "checks/b.toml", Old: "1f7a", New: "c0de"},
		{Kind: history.Removed, Manner: history.Discarded, Path: "checks/b.toml", Old: "c0de"},
	}}
	for _, c := range f.Rewritten() {
		fmt.Printf("%s %s %q\n", c.Kind, c.Path, c.Manner)
	}
	// Output:
	// changed checks/b.toml ""
	// removed checks/b.toml "discarded"
}
