package diag

import "unicode/utf8"

// Nearest returns the name that the writer of word most likely meant: the
// first of those at the smallest edit distance, if that distance is at most
// two and less than half of the word. Otherwise it returns "".
func Nearest(word string, names []string) string {
	best, found := min(2, (utf8.RuneCountInString(word)-1)/2), ""
	for _, name := range names {
		if d := distance(word, name, best); d < best || d == best && found == "" {
			best, found = d, name
		}
	}
	return found
}

// distance counts the letters to insert, delete or replace to turn a into b.
// Neighbours that changed places count once, since that is one slip of the
// hand. Anything over limit is returned as limit+1.
func distance(a, b string, limit int) int {
	// A name of a different length cannot be near, and a job may hold keys of
	// any length: this keeps the work small.
	if d := len(a) - len(b); d > 4*limit || -d > 4*limit {
		return limit + 1
	}
	s, t := []rune(a), []rune(b)
	if d := len(s) - len(t); d > limit || -d > limit {
		return limit + 1
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			change := 1
			if s[i-1] == t[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return min(last[len(t)], limit+1)
}
