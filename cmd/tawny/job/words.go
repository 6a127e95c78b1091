package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"tawny/colour/table"
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

// when is words where something holds, or nothing.
func when(holds bool, words string) string { return either(holds, words, "") }

// either is the first words where something holds, else the other.
func either(holds bool, words, other string) string {
	if holds {
		return words
	}
	return other
}

// listed is a word for each of a list, joined.
func listed[T any](list []T, join string, word func(T) string) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = word(x)
	}
	return strings.Join(words, join)
}

// nonEmpty are those of words that say anything.
func nonEmpty(words ...string) []string {
	return slices.DeleteFunc(words, func(w string) bool { return w == "" })
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

// plainLetters are those that lose no mark by taking them apart.
var plainLetters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// Slug writes words as a file name: letters without their marks, digits and dashes, or
// else or.
func Slug(s, or string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(plainLetters.Replace(strings.ToLower(s))) {
		switch {
		case unicode.Is(unicode.Mn, r):
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

func trimNumber(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// measure is what the number behind a name counts.
type measure struct {
	unit, word string
	most       float64
	such       string // an example
	above      bool   // 0 is not one
}

var (
	percents = measure{"%", "percent", 100, "pale gold=1.5", false}
	shares   = measure{"%", "percent", 100, "pale gold=1.5", true}
	inGrams  = measure{"g", "grams", 1e6, "pale gold=3.01", false}
)

// amount reads "pale gold=1.5", the name as written.
func amount(item string, of measure) (name string, x float64, err error) {
	at := strings.LastIndexByte(item, '=')
	if at < 1 || strings.TrimSpace(item[:at]) == "" {
		return "", 0, inputf("%q is not understood; name=%s is accepted, such as '%s'", item, of.word, of.such)
	}
	name = strings.TrimSpace(item[:at])
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(item[at+1:]), of.unit))
	if x, err = table.Finite(text); err != nil || x < 0 || x == 0 && of.above || x > of.most {
		from := either(of.above, "more than 0 and at most", "0 to")
		return "", 0, inputf("%s at %q %s; %s %.0f is accepted", name, text, of.unit, from, of.most)
	}
	return name, x, nil
}

// fold is a name for comparing.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }
