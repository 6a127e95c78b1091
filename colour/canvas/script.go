package canvas

import (
	"bytes"
	"embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
	classes "golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// Letters that the typeface lacks are set in those of Noto Sans for other scripts,
// under the same licence, each cut down to its script's own letters: half a megabyte
// in all. Chinese, Japanese and Korean would take ten more, for a name on a card.
//
//go:embed fonts/NotoSans*.ttf
var otherFonts embed.FS

// others are the fonts of other scripts, read when one is first needed.
var others = sync.OnceValue(func() (faces []*font.Face) {
	files, _ := otherFonts.ReadDir("fonts")
	for _, f := range files {
		data, _ := otherFonts.ReadFile("fonts/" + f.Name())
		face, err := font.ParseTTF(bytes.NewReader(data))
		if err != nil {
			panic(err) // compiled in, so a fault of the build
		}
		faces = append(faces, face)
	}
	return faces
})

// otherFace is the font of another script that has a letter, or nil.
func otherFace(r rune) *font.Face {
	if r < knownRunes {
		return nil
	}
	for _, f := range others() {
		if _, ok := f.NominalGlyph(r); ok {
			return f
		}
	}
	return nil
}

// run is a stretch of a line that is set in one way, its letters in the order they
// are read in.
type run struct {
	way
	text []rune
}

// way is how a letter is set: in the typeface, in another script's font, or, where
// no font has it, as the nearest or with a line left to write it on. A sign that is no
// letter, such as a small picture, has nothing nearest and is left out.
type way struct {
	other         *font.Face
	lacking, near bool
	level         bidi.Level // odd where it is read from the right
}

func (t *typeface) way(r rune) (w way) {
	if t.has(r) {
		return w
	}
	w.other = otherFace(r)
	w.lacking = w.other == nil
	w.near = w.lacking && (unicode.In(r, unicode.So, unicode.Sk) || t.nearest(r) != "")
	return w
}

// runs splits a line by what it is set in, in the order they stand from the left by
// the Unicode bidirectional algorithm (UAX 9). A common sign between two letters of
// another script, such as a space, goes with them where their font has it.
func runs(s string, weight Weight) (all []run) {
	letters := []rune(s)
	ways := make([]way, len(letters))
	levels := levelsOf(letters)
	last := -1 // of another script, with nothing but common signs since
	for i, r := range letters {
		ways[i] = faces[weight].way(r)
		ways[i].level = levels[i]
		if r == ' ' && i > 1 && letters[i-2] == ' ' && ways[i-1].near && faces[weight].nearest(letters[i-1]) == "" {
			ways[i] = ways[i-1] // one of the spaces about a sign goes with it
		}
		switch {
		case ways[i].other != nil:
			if last >= 0 && ways[last] == ways[i] {
				for ; last < i; last++ {
					ways[last] = ways[i]
				}
			}
			last = i
		case last < 0 || ways[i].lacking || levels[i] != levels[last] || !unicode.In(r, unicode.Common, unicode.Inherited):
			last = -1
		default:
			if _, ok := ways[last].other.NominalGlyph(r); !ok {
				last = -1
			}
		}
	}
	for i, w := range ways {
		if i == 0 || ways[i-1] != w {
			all = append(all, run{way: w})
		}
		last := &all[len(all)-1]
		last.text = append(last.text, letters[i])
	}
	arrange(all)
	return all
}

// levelsOf are the embedding levels of a line's letters: 0 and 2 read from the left, 1
// from the right. Signs that steer the order are none: Clean leaves them out.
func levelsOf(letters []rune) []bidi.Level {
	class := func(i int) classes.Class { return classOf(letters[i]) }
	levels := make([]bidi.Level, len(letters))
	fromRight := RightToLeft(string(letters))
	parts := new(bidi.Paragraph).Segment(letters, bidi.Neutral)
	for i := range parts.NumRuns() {
		p := parts.Run(i)
		for at := p.Start; at < p.End; at++ {
			levels[at] = p.Level
		}
		if fromRight || p.Level == 1 {
			continue
		}
		// The segmenter joins levels 0 and 2 and tells the first's: a number after
		// letters from the right is at 2, and Arabic digits before them.
		end := p.Start
		for at := p.Start; at < p.End && p.Level == 2; at++ {
			if c := class(at); c == classes.EN || c == classes.AN || c == classes.ET {
				end = at + 1
			} else if c != classes.ES && c != classes.CS {
				break
			}
		}
		for at := end; at < p.End; at++ {
			levels[at] = 0
		}
		for at := p.End - 1; at >= end && class(at) == classes.AN; at-- {
			levels[at] = 2
		}
	}
	return levels
}

func classOf(r rune) classes.Class {
	p, _ := classes.LookupRune(r)
	return p.Class()
}

// RightToLeft reports whether a line is read from the right, as its first letter is.
func RightToLeft(s string) bool {
	for _, r := range s {
		if c := classOf(r); c == classes.L || c == classes.R || c == classes.AL {
			return c != classes.L
		}
	}
	return false
}

// arrange turns runs in the order of reading about, those of the highest level first
// (UAX 9, rule L2).
func arrange(all []run) {
	highest := bidi.Level(0)
	for i := range all {
		highest = max(highest, all[i].level)
	}
	for level := highest; level > 0; level-- {
		for i := 0; i < len(all); i++ {
			from := i
			for i < len(all) && all[i].level >= level {
				i++
			}
			slices.Reverse(all[from:i])
		}
	}
}

// mirrors are signs that stand the other way round where they are read from the
// right, in pairs (those that the typeface has of Unicode's BidiMirroring.txt).
const mirrors = "()[]{}<>«»‹›≤≥"

func mirrored(r rune) rune {
	pairs := []rune(mirrors)
	if i := slices.Index(pairs, r); i >= 0 {
		return pairs[i^1]
	}
	return r
}

// missingAdvance is the breadth left for a letter that no font has, em.
const missingAdvance = 1.02

// joiner tells the two marks that say how letters of some scripts hang together.
func joiner(r rune) bool { return r == '\u200c' || r == '\u200d' }

// nearest is what the typeface has of a letter that it lacks: a letter without its
// rare accent, a full-width one narrow.
func (t *typeface) nearest(r rune) string {
	return strings.Map(func(part rune) rune {
		if part == r || !t.has(part) {
			return -1
		}
		return part
	}, norm.NFKD.String(string(r)))
}

// latin is the run's text as the typeface has it, from the left.
func (r *run) latin(t *typeface) string {
	text := slices.Clone(r.text)
	if r.level%2 == 1 {
		slices.Reverse(text)
		for i := range text {
			text[i] = mirrored(text[i])
		}
	}
	if !r.near {
		return string(text)
	}
	var near strings.Builder
	for _, c := range text {
		near.WriteString(t.nearest(c))
	}
	return near.String()
}

// shaped is the run of another script as its font joins and orders it, in
// thousandths of an em and 64ths of those.
func (r *run) shaped() shaping.Output {
	script := language.LookupScript(r.text[0])
	direction := di.DirectionLTR
	if r.level%2 == 1 {
		direction = di.DirectionRTL
	}
	return new(shaping.HarfbuzzShaper).Shape(shaping.Input{
		Text: r.text, RunEnd: len(r.text), Face: r.other, Size: fixed.I(1000), Script: script, Direction: direction,
	})
}

// width of the run, em.
func (r *run) width(t *typeface) (w float64) {
	switch {
	case r.other != nil:
		return float64(r.shaped().Advance) / 64000
	case r.lacking && !r.near:
		return missingAdvance * float64(len(r.text))
	}
	for _, c := range r.latin(t) {
		w += t.own(c)
	}
	return w
}

// set draws the run from the left end of its baseline.
func (r *run) set(c Canvas, at Point, st Style) {
	if m, ok := c.(interface{ lack([]rune) }); ok && r.lacking {
		m.lack(r.text)
	}
	t := faces[st.Weight]
	switch {
	case r.other != nil:
		r.setOther(c, at, st)
	case r.lacking && !r.near:
		const gap = missingAdvance - 1
		c.Fill(Box{at.X + gap*st.Size, at.Y, (r.width(t) - 2*gap) * st.Size, 0.05 * st.Size}, st.Colour)
	default:
		c.Text(at, r.latin(t), st)
	}
}

// boldBy is how far to each side the strokes of another script's letters, whose fonts
// have one weight, are drawn broader in bold, em.
const boldBy = 0.02

// setOther draws the outlines of another script's letters.
func (r *run) setOther(c Canvas, at Point, st Style) {
	em := st.Size / float64(r.other.Upem())
	x := at.X
	for _, g := range r.shaped().Glyphs {
		outline, _ := r.other.GlyphData(g.GlyphID).(font.GlyphOutline)
		left := x + float64(g.XOffset)/64000*st.Size
		foot := at.Y - float64(g.YOffset)/64000*st.Size
		for aside := -float64(st.Weight); aside <= float64(st.Weight); aside++ {
			flat := flattened(outline, func(p font.SegmentPoint) Point {
				return Point{left + aside*boldBy*st.Size + float64(p.X)*em, foot - float64(p.Y)*em}
			})
			if len(flat) > 0 {
				c.Shape(flat, st.Colour)
			}
		}
		x += float64(g.Advance) / 64000 * st.Size
	}
}

// flattened is a letter's outline in straight pieces. Its parts and holes hang
// together by lines there and back, which paint nothing.
func flattened(o font.GlyphOutline, place func(font.SegmentPoint) Point) (all []Point) {
	const pieces = 6 // of a curve
	var starts []Point
	for _, s := range o.Segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if len(starts) > 0 {
				all = append(all, starts[len(starts)-1])
			}
			starts = append(starts, place(s.Args[0]))
			all = append(all, place(s.Args[0]))
		case opentype.SegmentOpLineTo:
			all = append(all, place(s.Args[0]))
		case opentype.SegmentOpQuadTo:
			a, b, z := all[len(all)-1], place(s.Args[0]), place(s.Args[1])
			for i := 1; i <= pieces; i++ {
				t := float64(i) / pieces
				u := 1 - t
				all = append(all, Point{u*u*a.X + 2*u*t*b.X + t*t*z.X, u*u*a.Y + 2*u*t*b.Y + t*t*z.Y})
			}
		}
	}
	if len(starts) > 0 {
		all = append(all, starts[len(starts)-1])
	}
	slices.Reverse(starts)
	return append(all, starts...)
}

// Missing are the letters that were not drawn as they are written, each once.
type Missing []rune

func (m *Missing) lack(letters []rune) {
	for _, r := range letters {
		if r != ' ' && !slices.Contains(*m, r) {
			*m = append(*m, r)
		}
	}
}

// Width returns the width of a line of text, mm.
func Width(s string, st Style) float64 {
	t, w := faces[st.Weight], 0.0
	for _, r := range s {
		if !t.has(r) {
			w = 0
			for _, r := range runs(s, st.Weight) {
				w += r.width(t)
			}
			break
		}
		w += t.own(r)
	}
	return w * st.Size
}
