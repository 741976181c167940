package table

import (
	"encoding/json"
	"io"
)

// JSON prints a value indented and without escapes for HTML, so that units and comparison signs stay readable. It stands
// here because it is the one form whose fields each verb names itself.
func JSON(w io.Writer, value any) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(value)
}
