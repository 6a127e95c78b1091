package reading

import (
	"bufio"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"tawny/colour"
)

// layout is what a set of samples needs said, once or for each row.
type layout struct {
	mixedGloss, mixedView bool
	spectra, labs         bool     // some sample has a spectrum; some has none
	other                 []string // headers of the columns kept beside
}

func layoutOf(samples []Sample) (l layout, err error) {
	if len(samples) == 0 {
		return l, fmt.Errorf("no samples to write")
	}
	headers := map[string]bool{}
	for i, s := range samples {
		l.mixedGloss = l.mixedGloss || s.Excluded != samples[0].Excluded
		l.mixedView = l.mixedView || viewingName(s.Viewing) != viewingName(samples[0].Viewing)
		if s.Spectrum != nil {
			l.spectra = true
		} else {
			l.labs = true
		}
		if _, err := colour.FindIlluminant(illuminantOf(s)); err != nil {
			return l, fmt.Errorf("sample %d (%s): its light %q has no name a file can carry; read its spectrum under a named light first", i+1, s.Name, illuminantOf(s))
		}
		for h := range s.Other {
			headers[h] = true
		}
	}
	for h := range headers {
		if c := readHeader(h); c.kind == other || c.kind == id {
			l.other = append(l.other, h)
		} else {
			return l, fmt.Errorf("the column %q beside the readings would be read as part of them; rename it", h)
		}
	}
	sort.Strings(l.other)
	return l, nil
}

func illuminantOf(s Sample) string {
	if s.Viewing == nil {
		return "D65"
	}
	return s.Viewing.Illuminant.Name
}

func observerOf(s Sample) string {
	if s.Viewing == nil {
		return "2"
	}
	return s.Viewing.Observer.String()
}

func specularOf(s Sample) string {
	if s.Excluded {
		return "excluded"
	}
	return "included"
}

func exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// WriteCSV writes samples, one a row, so that Read gives them back:
// '#' lines for what holds for all of them, then name, L, a, b and the
// spectrum (0 to 1) as R380 … R730 where there is one.
func WriteCSV(w io.Writer, samples []Sample) error {
	l, err := layoutOf(samples)
	if err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	if l.spectra {
		fmt.Fprintln(b, "# scale: unit")
	}
	header := []string{"name"}
	if l.mixedGloss {
		header = append(header, "specular")
	} else {
		fmt.Fprintf(b, "# specular: %s\n", specularOf(samples[0]))
	}
	if l.mixedView {
		header = append(header, "illuminant", "observer")
	} else {
		fmt.Fprintf(b, "# illuminant: %s\n# observer: %s\n", illuminantOf(samples[0]), observerOf(samples[0]))
	}
	header = append(header, "L", "a", "b")
	if l.spectra {
		for i := range colour.Bands {
			header = append(header, fmt.Sprintf("R%g", colour.WavelengthNM(i)))
		}
	}
	header = append(header, l.other...)
	if err := writeRow(b, header); err != nil {
		return err
	}
	for _, s := range samples {
		cells := []string{s.Name}
		if l.mixedGloss {
			cells = append(cells, specularOf(s))
		}
		if l.mixedView {
			cells = append(cells, illuminantOf(s), observerOf(s))
		}
		cells = append(cells, exact(s.Lab.L), exact(s.Lab.A), exact(s.Lab.B))
		if l.spectra {
			for i := range colour.Bands {
				if s.Spectrum == nil {
					cells = append(cells, "")
				} else {
					cells = append(cells, exact(s.Spectrum[i]))
				}
			}
		}
		for _, h := range l.other {
			cells = append(cells, s.Other[h])
		}
		if err := writeRow(b, cells); err != nil {
			return fmt.Errorf("sample %q: %w", s.Name, err)
		}
	}
	return b.Flush()
}

func writeRow(w *bufio.Writer, cells []string) error {
	for i, c := range cells {
		if strings.ContainsAny(c, "\r\n\x00") {
			return fmt.Errorf("%q holds a line break, which a row cannot", c)
		}
		if strings.ContainsAny(c, "\",;\t#") || c != strings.TrimSpace(c) {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		if i > 0 {
			w.WriteByte(',')
		}
		w.WriteString(c)
	}
	w.WriteByte('\n')
	return nil
}

// WriteCGATS writes samples in the text format of ISO 28178. Samples with a
// spectrum and samples without go to a table each, and so do samples under
// different conditions, since the format states those once a table. The columns in Other are not
// written.
func WriteCGATS(w io.Writer, samples []Sample) error {
	if _, err := layoutOf(samples); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "CGATS.17\nORIGINATOR \"tawny\"\nKEYWORD \"SPECULAR\"\nKEYWORD \"ILLUMINANT\"\nKEYWORD \"OBSERVER\"\nKEYWORD \"SCALE\"\n")
	for start := 0; start < len(samples); {
		end := start + 1
		for end < len(samples) && alike(samples[start], samples[end]) {
			end++
		}
		if err := writeSets(b, samples[start:end]); err != nil {
			return err
		}
		start = end
	}
	return b.Flush()
}

func alike(a, b Sample) bool {
	return a.Excluded == b.Excluded && (a.Spectrum == nil) == (b.Spectrum == nil) && viewingName(a.Viewing) == viewingName(b.Viewing)
}

func writeSets(b *bufio.Writer, samples []Sample) error {
	first := samples[0]
	fmt.Fprintf(b, "SPECULAR \"%s\"\nILLUMINANT \"%s\"\nOBSERVER \"%s\"\n", specularOf(first), illuminantOf(first), observerOf(first))
	fields := "SAMPLE_NAME LAB_L LAB_A LAB_B"
	count := 4
	if first.Spectrum != nil {
		fmt.Fprintf(b, "SCALE \"unit\"\n")
		for i := range colour.Bands {
			fields += fmt.Sprintf(" SPECTRAL_NM%g", colour.WavelengthNM(i))
		}
		count += colour.Bands
	}
	fmt.Fprintf(b, "NUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\n%s\nEND_DATA_FORMAT\nNUMBER_OF_SETS %d\nBEGIN_DATA\n", count, fields, len(samples))
	for _, s := range samples {
		if strings.ContainsAny(s.Name, "\r\n\x00") {
			return fmt.Errorf("sample %q: a name with a line break cannot be written", s.Name)
		}
		fmt.Fprintf(b, "\"%s\" %s %s %s", strings.ReplaceAll(s.Name, `"`, `""`), exact(s.Lab.L), exact(s.Lab.A), exact(s.Lab.B))
		if s.Spectrum != nil {
			for _, r := range s.Spectrum {
				b.WriteByte(' ')
				b.WriteString(exact(r))
			}
		}
		b.WriteByte('\n')
	}
	fmt.Fprintln(b, "END_DATA")
	return nil
}
