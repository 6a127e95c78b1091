package job

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

func orElse(s, fallback string) string {
	if s == "" {
		return fallback
	}
	return s
}

// around is words with what leads to them and what follows, or nothing.
func around(before, words, after string) string {
	if words == "" {
		return ""
	}
	return before + words + after
}

// listed is a word for each of a list, joined.
func listed[T any](list []T, join string, word func(T) string) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = word(x)
	}
	return strings.Join(words, join)
}

// plural counts things: "1 batch", "2 batches".
func plural(n int, word string) string {
	switch {
	case n == 1:
	case strings.HasSuffix(word, "ch"):
		word += "es"
	default:
		word += "s"
	}
	return fmt.Sprintf("%d %s", n, word)
}

// wrap sets words in lines of at most width columns, each behind an indent.
func wrap(words []string, width int, indent string) (lines []string) {
	line := ""
	for _, word := range words {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, indent+line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line == "" {
		return lines
	}
	return append(lines, indent+line)
}

// wrapped is a list with commas, in lines under each other in a job's help.
func wrapped(list []string) string {
	return strings.TrimSpace(strings.Join(wrap(strings.Split(strings.Join(list, ",\n"), "\n"), 76, "  "), "\n"))
}

// Slug writes words as a file name: letters, digits and dashes, or else or.
func Slug(s, or string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return orElse(strings.Trim(b.String(), "-"), or)
}

// decimals of a balance's display.
func decimals(step float64) int {
	n := 0
	for step < 0.999 && n < 4 {
		step *= 10
		n++
	}
	return n
}

// grams writes a weight with the balance's digits.
func grams(g, step float64) string { return fmt.Sprintf("%.*f", decimals(step), g) }

// percent95 writes a relative standard error as a 95 % one.
func percent95(x float64) string {
	p := 100 * 1.96 * x
	if p >= 100 {
		return "100 % or more"
	}
	return fmt.Sprintf("%.*f %%", int(math.Max(0, 1-math.Floor(math.Log10(math.Max(p, 0.1))))), p)
}
