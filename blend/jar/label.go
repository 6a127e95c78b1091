package jar

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tawny/blend/batch/rules"
	"tawny/blend/flake/constants"
	"tawny/blend/palette"
	"tawny/colour"
)

// Label is what a jar says of its substances.
type Label struct {
	INCI  []palette.Ingredient // as given and in its order; Percent 0 where no share is
	CI    []string             // as given
	Plate string               // INCI name of what the flakes are cut from, "" for none

	coats uint // of the kinds below
	black bool // iron oxides without a number are the black
}

// Kinds of substance a coat may be of, as bits.
const (
	titania = 1 << iota
	iron
	chromium
	minor // no colour of its own: tin oxide, silica
	other // a colourant this tool has no coat for
)

// ofCI are the kinds by colour index number.
var ofCI = map[string]uint{"CI 77891": titania, "CI 77489": iron, "CI 77491": iron, "CI 77492": iron, "CI 77499": iron, "CI 77288": chromium}

// ofName are the kinds of what is no colour additive.
var ofName = map[string]uint{"tin oxide": minor, "stannic oxide": minor, "silica": minor, "alumina": minor, "aluminum hydroxide": minor, "zirconium dioxide": minor, "triethoxycaprylylsilane": minor}

// ofMaterial are the kinds of the coats that are modelled.
var ofMaterial = map[string]uint{"rutile": titania, "anatase": titania, "hematite": iron, "magnetite": iron, "chromia": chromium, "tin oxide": minor, "silica": minor}

// plates are what flakes are cut from, and whether they are taken for mica.
var plates = []string{"mica", "synthetic fluorphlogopite", "fluorphlogopite", "calcium sodium borosilicate", "calcium aluminum borosilicate", "glass"}

var (
	ciNumber = regexp.MustCompile(`(?i)\bc\.?i\.?\s*(?:no\.?\s*)?(\d{4,5})\b|^(\d{5})$`)
	share    = regexp.MustCompile(`^(.*?)\s*[=:]?\s*(\d+(?:[.,]\d+)?)\s*(?:[-–]\s*(\d+(?:[.,]\d+)?)\s*)?%?$`)
	spaced   = regexp.MustCompile(`(\d{4,5})\s+`)
	decimal  = regexp.MustCompile(`(\d),(\d+\s*(?:%|[-–]))`)                           // of a share, where a comma else parts substances
	fenced   = regexp.MustCompile(`\(\s*(\d[\d.,]*\s*(?:[-–]\s*\d[\d.,]*\s*)?%)\s*\)`) // a share in brackets
	heading  = regexp.MustCompile(`(?i)^\s*(?:ingredients|inci|contains)\s*:?\s*`)
)

// ErrNumber is the fault of a colour index number, where [Parse]'s others are of the
// names.
var ErrNumber = errors.New("no colour index number")

// Parse reads the substances and colour index numbers of a label: names as
// palette.Listed takes them, a number in brackets after a name or by itself, a
// share or a range of it where one is printed.
func Parse(inci, ci string) (*Label, error) {
	l := &Label{}
	number := func(text string) (found bool) {
		for _, m := range ciNumber.FindAllStringSubmatch(text, -1) {
			n := "CI " + m[1] + m[2]
			if found = true; !slices.Contains(l.CI, n) {
				l.CI = append(l.CI, n)
			}
		}
		return found
	}
	for _, part := range strings.FieldsFunc(spaced.ReplaceAllString(ci, "$1,"), func(r rune) bool { return strings.ContainsRune(",;\n+/", r) }) {
		if part = strings.TrimSpace(part); part != "" && !number(part) {
			return nil, fmt.Errorf("%q is %w; such as CI 77891, or several as 77019/77891/77491, is accepted", part, ErrNumber)
		}
	}
	text := strings.NewReplacer("[", "(", "]", ")", "\n", ", ", ",", ", ").Replace(decimal.ReplaceAllString(fenced.ReplaceAllString(heading.ReplaceAllString(inci, ""), "$1"), "$1.$2"))
	var parts []string
	for _, part := range palette.Listed(text) {
		pieces := strings.Split(part, "/") // of substances, and not of a name that has one in it
		if slices.ContainsFunc(pieces, func(s string) bool { return kind(s) == other }) {
			pieces = []string{part}
		}
		parts = append(parts, pieces...)
	}
	for _, part := range parts {
		part = heading.ReplaceAllString(strings.TrimSpace(part), "")
		named := number(part)
		name := strings.TrimFunc(ciNumber.ReplaceAllString(part, ""), func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("().", r) })
		if strings.Count(name, "(") > strings.Count(name, ")") {
			name += ")" // which was its own
		}
		in := palette.Ingredient{INCI: name}
		if m := share.FindStringSubmatch(name); m != nil && (m[1] != "" || named) && len(rules.ColoursByName(name)) == 0 && !rules.Certified(name) { // TiO2 has none
			in.INCI = m[1]
			in.Percent, in.Estimated = percent(m[2], m[3])
		}
		if c := rules.ColoursByName(name); len(c) == 1 && c[0].USName != "" && !strings.EqualFold(name, c[0].INCI) {
			in.INCI = c[0].INCI // for the product's own label; a dye's own name is that of the US one
		}
		if in.INCI == "" && named { // a number by itself
			if c := rules.ColourByCI(l.CI[len(l.CI)-1]); c != nil {
				in.INCI = c.INCI
			}
		}
		if in.INCI == "" || slices.ContainsFunc(l.INCI, func(x palette.Ingredient) bool { return strings.EqualFold(x.INCI, in.INCI) }) {
			continue
		}
		if strings.ContainsAny(in.INCI, "=~") || len(in.INCI) > 100 {
			return nil, fmt.Errorf("%q is no INCI name", in.INCI)
		}
		if kind(in.INCI) == 0 && slices.ContainsFunc(slices.Collect(maps.Keys(ofCI)), func(ci string) bool { return strings.Contains(key(in.INCI), key(rules.ColourByCI(ci).INCI)) }) {
			return nil, fmt.Errorf("%q was read as one substance; commas between them are accepted, such as Mica, Titanium Dioxide", in.INCI)
		}
		l.INCI = append(l.INCI, in)
	}
	for _, n := range l.CI { // a number alone names its substance too
		if c := rules.ColourByCI(n); c != nil && !slices.ContainsFunc(l.INCI, func(x palette.Ingredient) bool { return slices.Contains(rules.ColoursByName(x.INCI), c) }) {
			l.INCI = append(l.INCI, palette.Ingredient{INCI: c.INCI})
		}
		if n == rules.TinOxide && !slices.ContainsFunc(l.INCI, func(x palette.Ingredient) bool { return kind(x.INCI) == minor }) {
			l.INCI = append(l.INCI, palette.Ingredient{INCI: "Tin Oxide"})
		}
	}
	if len(l.INCI) == 0 {
		return nil, fmt.Errorf("the label names no substance; such as Mica, Titanium Dioxide, Iron Oxides is accepted")
	}
	for _, in := range l.INCI {
		if l.coats |= kind(in.INCI); kind(in.INCI) == 0 {
			l.Plate = cmp.Or(l.Plate, in.INCI)
		}
	}
	return l, nil
}

// percent is a printed share, or the middle of a range, which is an estimate.
func percent(low, high string) (float64, bool) {
	var a, b float64
	fmt.Sscan(strings.Replace(low, ",", ".", 1), &a)
	if high == "" {
		return a, false
	}
	fmt.Sscan(strings.Replace(high, ",", ".", 1), &b)
	return (a + b) / 2, true
}

func key(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// kind is what a substance is, 0 for what flakes are cut from.
func kind(name string) uint {
	k := key(name)
	for _, p := range plates {
		if strings.Contains(k, p) {
			return 0
		}
	}
	if of := ofName[k]; of != 0 {
		return of
	}
	for _, c := range rules.ColoursByName(name) {
		if of := ofCI[c.CI]; of != 0 {
			return of
		}
	}
	return other
}

// Flake reports whether the label is of flakes.
func (l *Label) Flake() bool { return l.Plate != "" }

// Unmodelled lists the colourants no coat is modelled of.
func (l *Label) Unmodelled() (names []string) {
	for _, in := range l.INCI {
		if kind(in.INCI) == other {
			names = append(names, in.INCI)
		}
	}
	return names
}

// Known reports whether tawny has a name for a substance of a powder.
func Known(inci string) bool {
	one, several := rules.Named(inci)
	return kind(inci) != other || one != nil || several != nil || slices.ContainsFunc(rules.ColoursByName(inci), (*rules.Colour).Known)
}

// Unknown lists what is no substance that tawny has a name for.
func (l *Label) Unknown() []string { return slices.DeleteFunc(l.Unmodelled(), Known) }

// Meant names its unknown substances and asks which is a slip of the pen; "" where it
// has none.
func (l *Label) Meant() string {
	unknown := l.Unknown()
	if len(unknown) == 0 {
		return ""
	}
	known := slices.Concat(plates, slices.Collect(maps.Keys(ofName)))
	for ci := range ofCI {
		known = append(known, rules.ColourByCI(ci).INCI)
	}
	ask := "is it spelt as on the jar?"
	for _, name := range slices.Backward(unknown) {
		if near := colour.NearBy(name, known); near != "" {
			ask = "is " + near + " meant?"
		}
	}
	return fmt.Sprintf("tawny knows no substance called %q: %s", strings.Join(unknown, ", "), ask)
}

// Allows reports whether a powder is of the substances the label names, tin
// oxide and silica aside: no coat the label lacks, and none left out.
func (l *Label) Allows(p *palette.Pigment) bool {
	if l.Flake() != (p.Substrate > 0) {
		return false
	}
	if !l.Flake() {
		return len(p.CI) == 1 && slices.Contains(l.numbers(), p.CI[0]) && l.only(p.CI[0])
	}
	has := uint(0)
	for _, c := range p.Layers {
		has |= ofMaterial[c.Material]
	}
	const coloured = titania | iron | chromium
	return has&coloured == l.coats&coloured
}

// only reports whether a label without flakes is of one colourant, and of nothing
// else that may show.
func (l *Label) only(ci string) bool {
	return !slices.ContainsFunc(l.CI, func(n string) bool { return n != ci }) && !slices.ContainsFunc(l.INCI, func(in palette.Ingredient) bool {
		known, _ := rules.Named(in.INCI)
		return known == nil && kind(in.INCI) != minor && !slices.Contains(rules.ColoursByName(in.INCI), rules.ColourByCI(ci))
	})
}

// numbers are the label's colour index numbers, of which it prints any, else
// those its names may mean.
func (l *Label) numbers() (list []string) {
	if len(l.CI) > 0 {
		return l.CI
	}
	for _, in := range l.INCI {
		for _, c := range rules.ColoursByName(in.INCI) {
			list = append(list, c.CI)
		}
	}
	return list
}

// Numbers are the label's colour index numbers with those of substances it
// names without one. guessed is that of a name that stands for several: the iron
// oxides are taken for the red, which the coats are of, or for the black.
func (l *Label) Numbers() (list []string, guessed string) {
	iron := "CI 77491"
	if l.black {
		iron = blackIron
	}
	list = slices.Clone(l.CI)
	for _, in := range l.INCI {
		may := rules.ColoursByName(in.INCI)
		if len(may) == 0 || slices.ContainsFunc(may, func(c *rules.Colour) bool { return slices.Contains(list, c.CI) }) {
			continue
		}
		n := may[0].CI
		for _, c := range may {
			if len(may) > 1 && c.CI == iron {
				n, guessed = c.CI, c.CI
			}
		}
		list = append(list, n)
	}
	return list, guessed
}

// Areas are where the law and the size let the powder be worn: over CoarsestUM
// (d90), or with a substance nobody knows in it, on the body only.
func (l *Label) Areas(d90 float64) []palette.Area {
	if d90 > CoarsestUM || len(l.Unknown()) > 0 {
		return []palette.Area{palette.Body}
	}
	numbers, _ := l.Numbers()
	return slices.DeleteFunc([]palette.Area{palette.Body, palette.Eyes, palette.Lips}, func(a palette.Area) bool {
		return slices.ContainsFunc(numbers, func(n string) bool {
			c := rules.ColourByCI(n)
			return c != nil && !c.On(a)
		})
	})
}

// CoarsestUM is the size over which flakes scratch eyes and lips, µm (common
// practice).
const CoarsestUM = 100

// Shares are the label's substances, each with its printed share, or with an
// estimate from the mica's and the coats' thickness, marked as one.
func (l *Label) Shares(p *palette.Pigment) []palette.Ingredient {
	out := slices.Clone(l.INCI)
	sum := 0.0
	if len(out) == 1 {
		out[0].Percent, out[0].Estimated = 100, false
		return out
	}
	printed := true
	for _, in := range out {
		sum += in.Percent
		printed = printed && in.Percent > 0
	}
	if printed && sum > 99.5 && sum < 100.5 {
		return out
	}
	weights := make([]float64, len(out))
	total := 0.0
	for i, in := range out {
		weights[i] = l.weight(p, in.INCI)
		total += weights[i]
	}
	for i := range out {
		out[i].Percent, out[i].Estimated = tenths(100*weights[i]/total), true
	}
	// Rounded so that they still make 100.
	largest, sum := 0, 0.0
	for i, in := range out {
		sum += in.Percent
		if in.Percent > out[largest].Percent {
			largest = i
		}
	}
	out[largest].Percent = tenths(out[largest].Percent + 100 - sum)
	return out
}

func tenths(x float64) float64 { return float64(int(10*x+0.5)) / 10 }

// What a substance without a coat of its own adds, of the flake's weight: a
// trace under a coat, or a colourant printed on it (common practice: 0.2 to 1 %
// of tin oxide; guess for the others).
const trace, printedOn = 0.005, 0.02

// weight is what a substance weighs in a flake, by area, g/cm³ · nm.
func (l *Label) weight(p *palette.Pigment, name string) float64 {
	if !l.Flake() {
		return 1 // ordinary pigments mixed: no share is known
	}
	plate := constants.MuscoviteDensity * p.Substrate
	if strings.EqualFold(name, l.Plate) {
		return plate
	}
	of, w := kind(name), 0.0
	for _, c := range p.Layers {
		if m, err := constants.Find(c.Material); err == nil && ofMaterial[c.Material]&of != 0 {
			w += 2 * c.ThicknessNM * m.Density * m.Packing
		}
	}
	switch {
	case w > 0:
	case of == other:
		w = printedOn * plate
	default:
		w = trace * plate
	}
	return w
}
