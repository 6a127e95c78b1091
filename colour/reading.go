package colour

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"tawny/colour/table"
)

// Reading is a colour as someone wrote it down: numbers, the viewing they were
// taken in and, where a reflectance file gave it, the spectrum itself.
type Reading struct {
	Text     string    // as written
	Lab      Lab       // under Viewing
	Viewing  *Viewing  // D65/2 unless written otherwise
	Geometry Geometry  // how it was read; "" where nobody said
	Spectrum *Spectrum // reflectance factor, or nil where only L*a*b* is known
	Bright   error     // names the line of a file where Spectrum reaches 1, which no skin does; nil where it does not
	Note     string    // what was taken for granted, e.g. a percent scale
}

// readingForms is what every error about a reading offers.
const readingForms = "lab:L,a,b or lch:L,C,h (then @D65/2 and /di, /de, /45 or /photo), #rrggbb, or a CSV file of wavelength and reflectance"

// ParseReading reads a colour:
//
//	lab:64.1,11.3,14.4            L*, a*, b* under D65 and the 2° observer
//	lab:64.1,11.3,14.4/45         and how it was read: di, de, 45 or photo
//	lab:64.1,11.3,14.4@A/10/de    another light and observer
//	lch:64.1,18.3,51.9            L*, C*, h in degrees
//	#b98a6e or b98a6e             sRGB, and so D65/2 and as a photo has it
//
// L* must lie from 0 to 100 and a*, b* within ±150. A file is read by
// package reading.
func ParseReading(text string) (Reading, error) {
	s := strings.TrimSpace(text)
	lower := strings.ToLower(s)
	switch {
	case s == "":
		return Reading{}, fmt.Errorf("an empty colour; %s is accepted", readingForms)
	case strings.HasPrefix(s, "#"):
		return parseHex(s)
	case isBareHex(s):
		return parseHex("#" + s)
	case strings.HasPrefix(lower, "lab:"), strings.HasPrefix(lower, "lch:"):
		return parseNumbers(s)
	}
	return Reading{}, fmt.Errorf("colour %q is not understood; %s is accepted", text, readingForms)
}

// InWords reports whether a colour is words, and no notation of one nor a file.
func InWords(text string) bool {
	numbers := strings.Contains(text, ",") && strings.ContainsAny(text, "0123456789")
	return !numbers && !strings.ContainsAny(text, ":#.;/\\") && !isBareHex(strings.TrimSpace(text))
}

// bareHex is a screen's colour without its mark; a word of six such letters has no
// figure in it.
var bareHex = regexp.MustCompile(`^[0-9a-fA-F]*[0-9][0-9a-fA-F]*$`)

func isBareHex(s string) bool { return len(s) == 6 && bareHex.MatchString(s) }

// notation is the geometry a reading's notation names, none where it is none of
// the four.
func notation(s string) (g Geometry, ok bool, err error) {
	if strings.EqualFold(s, "spex") {
		return "", false, errors.New("/spex is now written /de (sphere, gloss excluded)") // the first edition's
	}
	for _, g := range Geometries {
		if strings.EqualFold(s, string(g)) {
			return g, true, nil
		}
	}
	return "", false, nil
}

// cutGeometry takes /di, /de, /45 or /photo off the end.
func cutGeometry(s string) (rest string, g Geometry, err error) {
	at := strings.LastIndexByte(s, '/')
	if at < 0 {
		return s, "", nil
	}
	g, ok, err := notation(strings.TrimSpace(s[at+1:]))
	if err == nil && !ok {
		err = fmt.Errorf("%q is no geometry; %s is accepted", s[at+1:], GeometryForms)
	}
	return s[:at], g, err
}

func parseHex(s string) (Reading, error) {
	digits, geometry, err := cutGeometry(s[1:])
	if err != nil {
		return Reading{}, fmt.Errorf("colour %q: %w", s, err)
	}
	if len(digits) == 3 {
		digits = string([]byte{digits[0], digits[0], digits[1], digits[1], digits[2], digits[2]})
	}
	n, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || len(digits) != 6 {
		return Reading{}, fmt.Errorf("colour %q: # must be followed by six hexadecimal digits, such as #b98a6e", s)
	}
	if geometry == "" {
		geometry = Photo
	}
	c := RGB8{uint8(n >> 16), uint8(n >> 8), uint8(n)}
	return Reading{Text: s, Lab: c.Lab(), Viewing: D65, Geometry: geometry}, nil
}

func parseNumbers(s string) (Reading, error) {
	r := Reading{Text: s, Viewing: D65}
	body := s[4:]
	if at := strings.IndexByte(body, '@'); at >= 0 {
		if err := r.parseConditions(body[at+1:]); err != nil {
			return Reading{}, fmt.Errorf("colour %q: %w", s, err)
		}
		body = body[:at]
	} else {
		var err error
		if body, r.Geometry, err = cutGeometry(body); err != nil {
			return Reading{}, fmt.Errorf("colour %q: %w", s, err)
		}
	}
	fields := strings.Split(body, ",")
	if len(fields) != 3 {
		return Reading{}, fmt.Errorf("colour %q has %d numbers; three separated by commas are accepted, such as lab:64.1,11.3,14.4", s, len(fields))
	}
	var v [3]float64
	for i, f := range fields {
		x, err := table.Finite(f)
		if err != nil {
			return Reading{}, fmt.Errorf("colour %q: %q is not a finite number", s, strings.TrimSpace(f))
		}
		v[i] = x
	}
	if v[0] < 0 || v[0] > 100 {
		return Reading{}, fmt.Errorf("colour %q: L* is %g; 0 to 100 is accepted", s, v[0])
	}
	if strings.EqualFold(s[:3], "lch") {
		if v[1] < 0 || v[1] > 200 {
			return Reading{}, fmt.Errorf("colour %q: C* is %g; 0 to 200 is accepted", s, v[1])
		}
		if v[2] < -360 || v[2] > 360 {
			return Reading{}, fmt.Errorf("colour %q: h is %g; -360 to 360 degrees is accepted", s, v[2])
		}
		r.Lab = LCh{v[0], v[1], v[2]}.Lab()
		return r, nil
	}
	for i, name := range []string{"a*", "b*"} {
		if x := v[i+1]; x < -150 || x > 150 {
			return Reading{}, fmt.Errorf("colour %q: %s is %g; -150 to 150 is accepted", s, name, x)
		}
	}
	r.Lab = Lab{v[0], v[1], v[2]}
	return r, nil
}

// parseConditions reads "D65/2", "A/10/de", "D50".
func (r *Reading) parseConditions(s string) error {
	parts := strings.Split(s, "/")
	light, err := FindIlluminant(parts[0])
	if err != nil {
		return err
	}
	observer := CIE1931
	for _, p := range parts[1:] {
		g, ok, err := notation(p)
		if err != nil {
			return err
		}
		if ok {
			r.Geometry = g
			continue
		}
		if observer, err = ParseObserver(p); err != nil {
			return err
		}
	}
	if light.Name != "D65" || observer != CIE1931 {
		r.Viewing = NewViewing(light, observer)
	}
	return nil
}

// String writes the reading the way ParseReading reads it.
func (r Reading) String() string {
	s := fmt.Sprintf("lab:%.2f,%.2f,%.2f", r.Lab.L, r.Lab.A, r.Lab.B)
	if r.Viewing != nil && r.Viewing != D65 {
		s += "@" + r.Viewing.Name()
	}
	if r.Geometry != "" {
		s += "/" + string(r.Geometry)
	}
	return s
}
