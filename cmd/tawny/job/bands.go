package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tawny/colour"
)

// bandsPrefix begins a colour that is given as its spectrum:
// 36 whole numbers, ten-thousandths of reflectance, 380 to 730 nm by 10.
const bandsPrefix = "bands:"

// formatBands writes a spectrum as a colour that can be typed. A ten-thousandth
// is well under what instruments repeat (common practice: 0.0005 and more).
func formatBands(r colour.Reading) string {
	var b strings.Builder
	b.WriteString(bandsPrefix)
	for j, v := range r.Spectrum {
		if j > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strconv.Itoa(int(math.Round(v * 1e4))))
	}
	if r.Geometry != "" {
		b.WriteString("/" + string(r.Geometry))
	}
	return b.String()
}

func parseBands(text string) (r colour.Reading, err error) {
	text, geometry, said := strings.Cut(text, "/")
	if said {
		if r.Geometry, err = colour.ParseGeometry(geometry); err != nil {
			return r, err
		}
	}
	list := strings.Split(text, ",")
	if len(list) != colour.Bands {
		return r, fmt.Errorf("a spectrum of %d numbers; %d are accepted", len(list), colour.Bands)
	}
	r.Spectrum = new(colour.Spectrum)
	for j, v := range list {
		n, err := strconv.Atoi(v)
		if err != nil || n < 0 || n > 10000 {
			return r, fmt.Errorf("a spectrum with %q at %g nm; 0 to 10000 is accepted", v, colour.WavelengthNM(j))
		}
		r.Spectrum[j] = float64(n) / 1e4
	}
	r.Viewing = colour.D65
	r.Lab = colour.D65.Lab(r.Spectrum)
	r.Text = "a reading with its spectrum"
	return r, nil
}
