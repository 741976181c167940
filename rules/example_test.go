package rules_test

import (
	"fmt"
	"os"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
)

// One repository, two instants: the check is due every seven days.
func ExampleEvaluate() {
	data, err := os.ReadFile("testdata/base.txtar")
	if err != nil {
		fmt.Println(err)
		return
	}
	files := fstest.MapFS{}
	for _, f := range txtar.Parse(data).Files {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	set, _ := records.Load(files, records.Options{})
	for _, day := range []int{6, 13} {
		a := rules.Evaluate(set, time.Date(2026, 10, day, 12, 0, 0, 0, time.UTC), rules.Options{})
		for _, d := range a.Devices {
			fmt.Printf("%s: %s is %s (%s)\n", a.Today, d.ID, d.Fitness, d.Reasons[0].Sentence)
		}
	}
	// Output:
	// 2026-10-06: scan-02 is fit (2 of 2 control charts rest on a short baseline)
	// 2026-10-13: scan-02 is unfit (check bar-weekly, last made on 2026-10-05, was due by 2026-10-12)
}
