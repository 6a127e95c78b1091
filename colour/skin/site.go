package skin

import (
	"fmt"
	"strings"

	"tawny/colour"
)

// Site is where on the body a skin is.
type Site int

// The sites people were measured at. Anywhere is a reading that does not say.
const (
	Anywhere Site = iota
	Face          // forehead and cheek
	Hand          // its back
	Palm
	Forearm // its inside
)

var siteNames = [...]string{"anywhere", "face", "hand", "palm", "forearm"}

// SiteNames returns the words ParseSite reads.
func SiteNames() []string { return append([]string(nil), siteNames[:]...) }

// String returns the site in a word.
func (s Site) String() string { return siteNames[s] }

// MarshalText writes the site in a word.
func (s Site) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a site.
func (s *Site) UnmarshalText(word []byte) (err error) {
	*s, err = ParseSite(string(word))
	return err
}

// ParseSite reads a site; "" is Anywhere.
func ParseSite(text string) (Site, error) {
	word := strings.ToLower(strings.TrimSpace(text))
	for s, name := range siteNames {
		if word == name || word == "" {
			return Site(s), nil
		}
	}
	return 0, fmt.Errorf("site %q is not known; accepted are %s", text, strings.Join(siteNames[:], ", "))
}

// middleSkin is the middle of a site's readings around one angle or lightness.
type middleSkin struct {
	readings int
	colour   colour.Lab // D65/2, gloss included
}

// The middles of measured skin, deepest first.
//
// face: medians within 4° of ITA −60, −45, … 62 of 4,603 readings of forehead
// and cheek; hand and palm: means of 777 people measured at both, by the L* of
// the back of the hand (under 35, 35 to 45, … over 65). From the International
// Skin Spectra Archive (Lu, Xiao, Pointer et al., Scientific Data 12:487, 2025,
// data doi:10.6084/m9.figshare.28228571.v4, CC BY 4.0).
//
// forearm: our medians by class of the NIST skin data (Cooksey, Allen and Tsai,
// J. Res. NIST 122:26, 2017, doi:10.18434/M38597, public domain), tan and brown
// together.
var (
	faces = []middleSkin{
		{38, colour.Lab{L: 33.6, A: 8.7, B: 9.6}},
		{58, colour.Lab{L: 37.2, A: 10.2, B: 13.0}},
		{71, colour.Lab{L: 40.8, A: 11.0, B: 16.0}},
		{106, colour.Lab{L: 45.3, A: 11.1, B: 18.1}},
		{227, colour.Lab{L: 50.3, A: 11.7, B: 19.0}},
		{470, colour.Lab{L: 54.0, A: 11.7, B: 18.9}},
		{762, colour.Lab{L: 58.3, A: 11.2, B: 17.9}},
		{741, colour.Lab{L: 62.2, A: 11.4, B: 15.7}},
		{352, colour.Lab{L: 65.7, A: 10.7, B: 13.4}},
		{16, colour.Lab{L: 68.2, A: 10.2, B: 10.2}},
	}
	faceITA = []float64{-60, -45, -30, -15, 0, 12, 25, 38, 50, 62} // the middles of the bins
	hands   = []middleSkin{
		{45, colour.Lab{L: 31.79, A: 8.84, B: 9.74}},
		{28, colour.Lab{L: 38.84, A: 10.74, B: 15.01}},
		{122, colour.Lab{L: 51.83, A: 10.53, B: 17.36}},
		{518, colour.Lab{L: 59.92, A: 8.78, B: 16.9}},
		{64, colour.Lab{L: 67.05, A: 7.22, B: 16.0}},
	}
	palms = []middleSkin{
		{45, colour.Lab{L: 48.24, A: 11.04, B: 17.7}},
		{28, colour.Lab{L: 53.4, A: 11.23, B: 16.81}},
		{122, colour.Lab{L: 58.7, A: 10.38, B: 14.77}},
		{518, colour.Lab{L: 62.73, A: 9.03, B: 14.14}},
		{64, colour.Lab{L: 66.63, A: 8.08, B: 14.57}},
	}
	forearms = []middleSkin{
		{5, colour.Lab{L: 50.7, A: 11.3, B: 20.3}},
		{8, colour.Lab{L: 62.9, A: 10.9, B: 18.3}},
		{48, colour.Lab{L: 67.3, A: 9.5, B: 14.7}},
		{14, colour.Lab{L: 70.5, A: 8.3, B: 12.9}},
	}
)

// siteTable is a site's middles and what they stand in line by: ITA°, or for
// the hand and the palm, whose readings run through few angles, L*.
type siteTable struct {
	people string // what they are of, with %d for how many
	skins  []middleSkin
	order  []float64                // rising, one a skin
	by     func(colour.Lab) float64 // what order is of
	fade   float64                  // how far past either end they still count, a convention
	class  []float64                // ITA° of the person, rising, one a skin, for presets
}

const (
	fadeITA = 30.0 // degrees
	fadeL   = 10.0 // of L*
)

var tables = [...]siteTable{
	Anywhere: {},
	Face:     {"median of %d readings of people's faces", faces, each(faces, ITA), ITA, fadeITA, faceITA},
	Hand:     {"mean of %d people's hands", hands, each(hands, lightness), lightness, fadeL, each(hands, ITA)},
	Palm:     {"mean of %d people's palms", palms, each(palms, lightness), lightness, fadeL, each(hands, ITA)},
	Forearm:  {"median of %d people's forearms", forearms, each(forearms, ITA), ITA, fadeITA, each(forearms, ITA)},
}

func lightness(c colour.Lab) float64 { return c.L }

func each(list []middleSkin, of func(colour.Lab) float64) []float64 {
	v := make([]float64, len(list))
	for i, m := range list {
		v[i] = of(m.colour)
	}
	return v
}

// at returns the middle skin at x on a scale of one number a skin, straight
// between skins and level beyond them, and how many readings it comes from.
func (t *siteTable) at(x float64, scale []float64) middleSkin {
	i, j, share := colour.Place(x, len(scale), func(k int) float64 { return scale[k] })
	m, q := t.skins[i], t.skins[j]
	if i < j {
		m = middleSkin{m.readings + q.readings, m.colour.Towards(q.colour, share)}
	}
	return m
}
