package reading

import (
	"strings"

	"tawny/colour/table"
)

// kind is what a column holds.
type kind int

const (
	other kind = iota
	name
	id
	band     // reflectance at the wavelength the header names
	labL     // L*
	labA     // a*
	labB     // b*
	geometry // and the two after it, in the order of conditions
	light    // illuminant
	eye      // observer
	gloss    // specular component, included or excluded, of a sphere
	pairNM   // a wavelength, and the next column is the value at it (CGATS)
	pairPct  // per cent at the wavelength before it
	pairDec  // 0 to 1 at the wavelength before it
)

// column is one column of a file and what its header was taken to mean.
type column struct {
	header  string
	kind    kind
	nm      float64 // of a band
	percent bool    // the header says per cent
	viewing string  // of L*, a*, b*, the words in brackets: "10°/D65"
}

// bandPrefixes are the words instruments put before a wavelength, without
// separators.
var bandPrefixes = map[string]bool{
	"": true, "r": true, "nm": true, "spec": true, "spectral": true,
	"spectralnm": true, "spectrum": true, "refl": true, "reflectance": true,
	"wl": true, "wavelength": true, "lambda": true, "λ": true,
}

var headerWords = map[string]kind{
	"name": name, "sample": name, "samplename": name, "label": name, "title": name,
	"id": id, "sampleid": id, "no": id, "nr": id, "number": id,
	"l": labL, "labl": labL, "ciel": labL, "cielabl": labL, "lstar": labL,
	"a": labA, "laba": labA, "ciea": labA, "cielaba": labA, "astar": labA,
	"b": labB, "labb": labB, "cieb": labB, "cielabb": labB, "bstar": labB,
	"geometry": geometry, "specular": gloss, "illuminant": light, "observer": eye,
	"spectralnm": pairNM, "spectralpct": pairPct, "spectraldec": pairDec,
}

// readHeader says what a column is from its header.
func readHeader(text string) column {
	c := column{header: strings.TrimSpace(text)}
	s := strings.ToLower(c.header)
	if strings.Contains(s, "%") {
		c.percent = true
		s = strings.ReplaceAll(s, "%", "")
	}
	if nm, ok := wavelength(s); ok {
		c.kind, c.nm = band, nm
		return c
	}
	word := s
	if open := strings.IndexAny(s, "(["); open > 0 {
		word = s[:open]
		c.viewing = strings.TrimRight(strings.TrimSpace(c.header[strings.IndexAny(c.header, "([")+1:]), ")]")
	}
	c.kind = headerWords[squeeze(word)]
	if c.kind < labL || c.kind > labB {
		c.viewing = ""
	}
	return c
}

// squeeze drops the separators that headers vary in.
func squeeze(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \t_-.:*#", r) {
			return -1
		}
		return r
	}, s)
}

// wavelength reads "400", "R400", "R_400", "SPEC_400", "400nm", "400 [nm]" and
// the like, 200 to 2500 nm, in lower case.
func wavelength(s string) (nm float64, ok bool) {
	s = strings.TrimSpace(s)
	for _, unit := range []string{"(nm)", "[nm]", "nm"} {
		if rest, cut := strings.CutSuffix(s, unit); cut {
			s = strings.TrimRight(rest, " _")
			break
		}
	}
	start := len(s)
	for start > 0 && (s[start-1] >= '0' && s[start-1] <= '9' || s[start-1] == '.') {
		start--
	}
	digits := strings.TrimLeft(s[start:], ".")
	if digits == "" || !bandPrefixes[squeeze(s[:start])] {
		return 0, false
	}
	nm, err := table.Finite(digits)
	return nm, err == nil && nm >= 200 && nm <= 2500
}
