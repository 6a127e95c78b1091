package job

import (
	"strconv"
	"strings"

	"tawny/colour/table"
)

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
		from := "0 to"
		if of.above {
			from = "more than 0 and at most"
		}
		return "", 0, inputf("%s at %q %s; %s %.0f is accepted", name, text, of.unit, from, of.most)
	}
	return name, x, nil
}

// fold is a name for comparing.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }
