package source

// Kind is the type of a value. The zero Kind belongs to no value.
type Kind uint8

// The kinds of TOML 1.0. Inline tables, tables made by dotted keys and tables
// with a header are all Table; arrays in brackets and arrays of tables are
// both Array.
const (
	None Kind = iota
	String
	Integer
	Float
	Bool
	OffsetDateTime
	LocalDateTime
	LocalDate
	LocalTime
	Array
	Table
)

// String names the kind as a message would.
func (k Kind) String() string {
	switch k {
	case String:
		return "text"
	case Integer:
		return "whole number"
	case Float:
		return "decimal number"
	case Bool:
		return "true or false"
	case OffsetDateTime:
		return "date and time with offset"
	case LocalDateTime:
		return "date and time without offset"
	case LocalDate:
		return "date"
	case LocalTime:
		return "time of day"
	case Array:
		return "array"
	case Table:
		return "table"
	case None:
	}
	return "nothing"
}
