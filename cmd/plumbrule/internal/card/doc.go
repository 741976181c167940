// Package card draws status cards of devices: labels for the device's case that say what it is, whether it may be used and
// until when, with a code that leads a phone back to the record.
//
// A card is as large as one asks for, in millimetres. What would not be read safely is not drawn: text that does not fit
// even when small, or a code whose modules would be too fine, is an error that asks for a larger card. Nothing on a card is
// told by colour alone: a shape and a word say the same.
package card
