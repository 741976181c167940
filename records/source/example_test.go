package source_test

import (
	"fmt"

	"plumbrule/records/source"
)

func ExampleParser_Parse() {
	text := []byte("[[reading]]\nfeature = \"A\"\nvalues = [29.9984, 29.9990]\n")
	var parser source.Parser
	doc, fault := parser.Parse(text)
	if fault != nil {
		fmt.Println(fault)
		return
	}
	readings, _ := doc.Root().Child("reading")
	for reading := range readings.Elements() {
		values, _ := reading.Child("values")
		for value := range values.Elements() {
			number, _ := value.Float()
			fmt.Println(doc.PositionOf(value.ValueOffset()), value.Path(), number, value.Source())
		}
	}
	// Output:
	// 3:11 reading[0].values[0] 29.9984 29.9984
	// 3:20 reading[0].values[1] 29.999 29.9990
}

func ExampleExcerpt() {
	text := "device = \"scan-02\"\nlength = 29,9984\n"
	var parser source.Parser
	if _, fault := parser.Parse([]byte(text)); fault != nil {
		fmt.Println(fault)
		fmt.Println(source.Excerpt(text, fault.Offset))
		fmt.Println("mend:", fault.Mend)
	}
	// Output:
	// 2:12: a comma in a number
	// length = 29,9984
	//            ^
	// mend: write the decimal point as a dot
}
