package reading

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"tawny/colour"
)

// Limits on an instrument file. A day's work with a hand-held instrument is a
// few hundred samples of 36 values, about 100 kB; the limits leave a
// hundredfold and keep a wrong file from filling the memory.
const (
	MaxFileBytes = 16 << 20
	MaxSamples   = 20000
	MaxColumns   = 2500 // 1 nm steps from 200 to 2500 nm, and a few more
)

// Sample is one reading of a file with many.
type Sample struct {
	Name string
	Line int // in the file, from 1
	colour.Reading

	// Other holds the cells of columns that say nothing of the colour, by
	// their header as written, such as ground, load or date. Empty cells are
	// left out.
	Other map[string]string
}

// Notes says in plain words what was taken for granted, one matter each.
type Notes []string

// add appends a note once.
func (n *Notes) add(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	for _, have := range *n {
		if have == s {
			return
		}
	}
	*n = append(*n, s)
}

// accepted is what errors about a whole file offer.
const accepted = "a CSV with columns name and 400, R400, 400nm … or L, a, b; a CSV whose first column is wavelength; or an ISO 28178 (CGATS) text file"

// Parse reads every sample of an instrument file; name is used in errors. The
// kinds are told apart by what they hold, not by the file's ending.
func Parse(name string, r io.Reader) ([]Sample, Notes, error) {
	lines, err := readLines(name, r)
	if err != nil {
		return nil, nil, err
	}
	for _, line := range lines {
		word, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		word, _, _ = strings.Cut(word, "\t")
		if word == "BEGIN_DATA_FORMAT" || word == "BEGIN_DATA" {
			return parseCGATS(name, lines)
		}
	}
	return parseCSV(name, lines)
}

// readLines reads a text file whole and splits it. UTF-16 with its mark and
// Latin-1, which older instruments write for the degree sign, are understood.
func readLines(name string, r io.Reader) ([]string, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFileBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(data) > MaxFileBytes {
		return nil, fmt.Errorf("%s is larger than %d MB; a text file of at most that is accepted", name, MaxFileBytes>>20)
	}
	text := string(data)
	switch {
	case strings.HasPrefix(text, "PK\x03\x04"):
		return nil, fmt.Errorf("%s is a spreadsheet workbook or archive; save it as CSV, then %s is accepted", name, accepted)
	case strings.HasPrefix(text, "\xff\xfe"), strings.HasPrefix(text, "\xfe\xff"):
		text = fromUTF16(data)
	case strings.ContainsRune(text, 0):
		return nil, fmt.Errorf("%s is not text; %s is accepted", name, accepted)
	case !utf8.ValidString(text):
		latin := make([]rune, len(data))
		for i, b := range data {
			latin[i] = rune(b)
		}
		text = string(latin)
	}
	text = strings.TrimPrefix(text, "\ufeff")
	if strings.HasPrefix(strings.TrimSpace(text), "<") {
		return nil, fmt.Errorf("%s is XML; export it as text, then %s is accepted", name, accepted)
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	return strings.Split(text, "\n"), nil
}

func fromUTF16(data []byte) string {
	big := data[0] == 0xfe
	units := make([]uint16, 0, len(data)/2)
	for i := 2; i+1 < len(data); i += 2 {
		lo, hi := data[i], data[i+1]
		if big {
			lo, hi = hi, lo
		}
		units = append(units, uint16(hi)<<8|uint16(lo))
	}
	return string(utf16.Decode(units))
}
