package reading

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
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
	if s := fmt.Sprintf(format, args...); !slices.Contains(*n, s) {
		*n = append(*n, s)
	}
}

// accepted is what errors about a whole file offer.
const accepted = "a CSV with columns name and 400, R400, 400nm … or L, a, b; a CSV whose first column is wavelength; or an ISO 28178 (CGATS) text file"

// Parse reads every sample of an instrument file; name is used in errors. The
// kinds are told apart by what they hold, not by the file's ending.
func Parse(name string, r io.Reader) ([]Sample, Notes, error) {
	text, err := table.Text(name, r, MaxFileBytes)
	if err != nil {
		return nil, nil, err
	}
	for line := range strings.Lines(text) {
		word, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		word, _, _ = strings.Cut(word, "\t")
		if word == "BEGIN_DATA_FORMAT" || word == "BEGIN_DATA" {
			return parseCGATS(name, text)
		}
	}
	return parseCSV(name, text)
}

// Names lists a file's samples for an error, the first dozen.
func Names(samples []Sample) string {
	var names []string
	seen := map[string]bool{}
	for _, s := range samples {
		if seen[s.Name] {
			continue
		}
		if seen[s.Name] = true; len(names) == 12 {
			names = append(names, "and more")
			break
		}
		names = append(names, s.Name)
	}
	return strings.Join(names, ", ")
}
