package skin

import (
	"math"

	"tawny/colour"
)

// Undertone is a skin's hue against that of the middle skin of its depth: of
// its site, or where the reading does not say, of all sites together.
//
// Both hues are as a sphere with gloss reads them, under D65/2; a reading
// without gloss has skin's own put back first.
type Undertone struct {
	Degrees   float64 `json:"degrees"`   // h − median, degrees: + towards yellow (warm), − towards red (cool)
	Word      string  `json:"word"`      // warm, neutral or cool; unclear where there is too little chroma
	Hue       float64 `json:"hue"`       // h of the skin, degrees
	MedianHue float64 `json:"medianHue"` // h of the middle skin of this depth, degrees
	Neutral   float64 `json:"neutral"`   // how far from it, degrees, is still neutral
	Site      Site    `json:"site"`      // whose middle it is
}

// bodyHues is the middle hue of skin by ITA° where the site is not said, and
// how far from it is neutral: halfway between, and half the distance of, two
// limits. From tan to dark they part the readings of the archive (all sites, mixed)
// in three about equal lots around each angle. The NIST forearms of lighter classes
// are redder than most of those; there the limits are of both files weighted alike,
// so that each word holds 20 to 50 per cent of them together and of the archive by
// itself. Light skin spreads more because light faces are redder than arms,
// by 4 to 10°; deep skin is much alike all over. The light classes are 12 to 21
// people of the archive, each 5 to 8 per cent, and two shares are 50 itself: fewer warm
// there would leave too few warm of both files together.
var bodyHues = [...]struct{ ita, hue, neutral float64 }{
	{-65, 48.5, 1.2}, {-50, 51.2, 1.0}, {-38, 53.5, 1.1}, {-20, 56.5, 2.0}, {5, 58.7, 2.8}, {20, 63.0, 2.4}, {35, 60.3, 3.6}, {48, 59.7, 4.5}, {58, 59.8, 3.8},
}

// MostNeutral is the widest neutral at one site, degrees: the median distance
// of the NIST forearms from their line of hue was 2.8.
const MostNeutral = 3.0

// hueChroma is the least chroma at which a hue is given a word: there one unit
// of error turns the hue by 11.5°.
const hueChroma = 5.0

// undertone takes a colour as a sphere with gloss reads it.
func (s Site) undertone(c colour.Lab) Undertone {
	lch := c.LCh()
	u := Undertone{Hue: lch.H, Word: "unclear", Site: s}
	u.MedianHue, u.Neutral = bodyHue(ITA(c))
	if s != Anywhere {
		u.MedianHue = s.hueAt(c)
		u.Neutral = math.Min(u.Neutral, MostNeutral)
	}
	u.Degrees = math.Remainder(u.Hue-u.MedianHue, 360)
	switch {
	case lch.C < hueChroma:
	case u.Degrees > u.Neutral:
		u.Word = "warm"
	case u.Degrees < -u.Neutral:
		u.Word = "cool"
	default:
		u.Word = "neutral"
	}
	return u
}

// hueAt returns the hue of the middle skin of a site at the depth of c, degrees.
// Past the deepest or lightest people of the site it goes over to that of the
// whole body, within the table's fade: no deep forearm was measured, and deep
// skin must not be cool for that.
func (s Site) hueAt(c colour.Lab) float64 {
	t := &tables[s]
	x := t.by(c)
	h := t.at(x, t.order).colour.LCh().H
	past := math.Max(t.order[0]-x, x-t.order[len(t.order)-1])
	if past <= 0 {
		return h
	}
	body, _ := bodyHue(ITA(c))
	return h + math.Min(1, past/t.fade)*(body-h)
}

func bodyHue(ita float64) (hue, neutral float64) {
	i, j, t := colour.Place(ita, len(bodyHues), func(k int) float64 { return bodyHues[k].ita })
	p, q := bodyHues[i], bodyHues[j]
	return p.hue + t*(q.hue-p.hue), p.neutral + t*(q.neutral-p.neutral)
}
