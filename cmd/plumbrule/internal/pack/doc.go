// Package pack writes what is shown to an auditor as a folder that needs nothing
// beside itself: one page that prints to A4, every table of it as CSV and JSON,
// the records it was drawn from byte for byte, and a manifest of SHA-256 digests.
//
// A folder appears whole or not at all. The same content gives the same bytes:
// nothing here looks at a clock. Text of records is foreign; it is spelled out
// and shortened where people read it, and escaped by the page's template.
package pack
