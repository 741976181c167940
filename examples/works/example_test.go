package works_test

import (
	"fmt"
	"strings"

	"plumbrule/examples/works"
)

func ExampleMany() {
	files, err := works.Many(1000)
	if err != nil {
		fmt.Println(err)
		return
	}
	checks := 0
	for name := range files {
		if strings.HasPrefix(name, "checks/") {
			checks++
		}
	}
	fmt.Println(checks, "checks in", len(files), "files")
	// Output: 1000 checks in 1008 files
}
