package diag

import "strings"

// Leftward reports whether a text has characters of a script that is written from
// right to left, as Hebrew and Arabic are. No page of ours puts such text in
// order, and set as it stands it would read backwards.
//
// The blocks are those whose characters have the classes R and AL unless they say
// otherwise. Source: Unicode Standard Annex 9, from memory. Beyond U+FFFF nothing
// can be set.
func Leftward(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool {
		return r >= 0x0590 && r <= 0x08FF || r >= 0xFB1D && r <= 0xFDFF || r >= 0xFE70 && r <= 0xFEFE
	})
}
