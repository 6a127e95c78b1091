package colour

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the first name that begins with the words written, else the one
// with the smallest edit distance from them, case ignored, the first of several; ""
// for no names. It is what every unknown-name error suggests.
func Nearest(written string, names []string) string {
	begun := strings.ToLower(strings.TrimSpace(written)) + " "
	for _, n := range names {
		if begun != " " && strings.HasPrefix(strings.ToLower(n), begun) {
			return n
		}
	}
	best, least := "", -1
	for _, n := range names {
		if d := EditDistance(strings.ToLower(strings.TrimSpace(written)), strings.ToLower(n)); least < 0 || d < least {
			best, least = n, d
		}
	}
	return best
}

// NearBy is Nearest where the name is near enough to be what was meant: at most
// a third of the letters written differ, and always one may. Else it is "".
func NearBy(written string, names []string) string {
	near := Nearest(written, names)
	word := strings.ToLower(strings.TrimSpace(written))
	if word == "" || EditDistance(word, strings.ToLower(near)) > max(1, utf8.RuneCountInString(word)/3) {
		return ""
	}
	return near
}

// EditDistance is Levenshtein's: the fewest letters put in, left out or changed
// that turn one word into the other.
func EditDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(y)]
}
