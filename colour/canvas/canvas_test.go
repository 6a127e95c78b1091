package canvas

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"tawny/colour"
)

// nothing is paper that only checks that text keeps inside its box.
type nothing struct {
	*Raster
	t   testing.TB
	box Box
	n   int
}

func (n *nothing) Text(at Point, s string, st Style) {
	n.n++
	w := Width(s, st)
	if at.X < n.box.X-0.01 || at.X+w > n.box.Right()+0.01 {
		n.t.Errorf("%q from %.3f to %.3f leaves %.3f to %.3f", s, at.X, at.X+w, n.box.X, n.box.Right())
	}
	if at.Y-st.CapHeight() < n.box.Y-0.01 || at.Y > n.box.Bottom()+0.01 {
		n.t.Errorf("%q at %.3f leaves %.3f to %.3f", s, at.Y, n.box.Y, n.box.Bottom())
	}
}

// Fill is the line left for letters that no font has.
func (n *nothing) Fill(b Box, c colour.RGB8) {
	n.n++
	if b.X < n.box.X-0.01 || b.Right() > n.box.Right()+0.01 {
		n.t.Errorf("a line from %.3f to %.3f leaves %.3f to %.3f", b.X, b.Right(), n.box.X, n.box.Right())
	}
}

// Shape is a letter of another script.
func (n *nothing) Shape([]Point, colour.RGB8) { n.n++ }

// Whatever the text, a line keeps inside its box.
func FuzzTextKeepsItsBox(f *testing.F) {
	for _, s := range []string{"", "gold", "Łucja Núñez 日本 \U0001F600", strings.Repeat("wide ", 80), strings.Repeat("W", 300), "a\nb\tc\u0301\x00", "\xff\xfe", "ﷺﷺﷺﷺ"} {
		f.Add(s, 20.0, 8.0)
	}
	f.Fuzz(func(t *testing.T, s string, w, h float64) {
		if !(w > 1.5 && w < 200 && h > 4.5 && h < 200) || len(s) > 2000 {
			t.Skip()
		}
		r, err := NewRaster(10, 10, 72, colour.RGB8{})
		if err != nil {
			t.Fatal(err)
		}
		b := Box{3, 4, w, h}
		n := &nothing{Raster: r, t: t, box: b}
		for _, a := range []Align{Left, Centre, Right} {
			Line(n, b, s, Style{Size: 3.2}, a)
		}
		if Clean(s) != "" && n.n == 0 && w > 6 {
			t.Errorf("%q was not drawn at all", s)
		}
	})
}

func TestWrapKeepsEveryLetter(t *testing.T) {
	s := "Champagne satin extra-fine Interferenceviolettwilightmorningmistandmore of spring"
	lines := Wrap(s, Style{Size: 3}, 22)
	if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(s, " ", "") {
		t.Errorf("wrapping lost letters: %q", lines)
	}
	for _, l := range lines {
		if Width(l, Style{Size: 3}) > 22 {
			t.Errorf("%q is wider than 22 mm", l)
		}
	}
}

func TestCleanComposesAndFlattens(t *testing.T) {
	for in, want := range map[string]string{
		"A\u200dB\ufe0f\u200e":   "AB",
		"Nu\u0301n\u0303ez":      "Núñez",
		"a\r\n b\t\x07c ":        "a b c",
		"Z\u0307o\u0301łc\u0301": "Żółć",
		"":                       "",
	} {
		if got := Clean(in); got != want {
			t.Errorf("Clean(%q) is %q, want %q", in, got, want)
		}
	}
}

// The letters our own words use, and European names, are in both weights.
func TestFontCoverage(t *testing.T) {
	const need = "ABCxyz0123456789 ŁłñÑéèüößØøÅåĄąĘęŻżŹźŚśČčŘřĞğİıŐőŢţÞð αβσθΔ Жд ²³°·–—…−±×≈≤≥→“”‘’%*/()"
	for i, f := range faces {
		for _, r := range need {
			if !f.has(r) {
				t.Errorf("weight %d lacks %q", i, r)
			}
		}
		// Figures of one width keep columns straight.
		for r := '1'; r <= '9'; r++ {
			if f.own(r) != f.own('0') {
				t.Errorf("weight %d: %c is not as wide as 0", i, r)
			}
		}
	}
}

// onPaper sets a line on paper of 60 × 10 mm.
func onPaper(t *testing.T, s string, st Style) *Raster {
	t.Helper()
	r, err := NewRaster(60, 10, 200, colour.RGB8{R: 255, G: 255, B: 255})
	if err != nil {
		t.Fatal(err)
	}
	Line(r, Box{1, 1, 58, 8}, s, st, Left)
	return r
}

// dark lists the columns, pixels, that have ink, and counts the pixels.
func dark(r *Raster) (columns []int, pixels int) {
	for x := range r.Pix.Rect.Dx() {
		before := pixels
		for y := range r.Pix.Rect.Dy() {
			if r.Pix.RGBAAt(x, y).R < 128 {
				pixels++
			}
		}
		if pixels > before {
			columns = append(columns, x)
		}
	}
	return columns, pixels
}

// Letters that no font here has leave a line to write them on, as wide as they
// claim, and are told of.
func TestMissingLettersLeaveALine(t *testing.T) {
	st := Style{Size: 5}
	r := onPaper(t, "日本日", st)
	if string(r.Missing) != "日本" {
		t.Errorf("missing are %q", string(r.Missing))
	}
	columns, pixels := dark(r)
	mm := float64(len(columns)) * 25.4 / 200
	if w := Width("日本日", st); w < 13 || w > 17 || mm < 0.9*w || mm > w {
		t.Errorf("three missing letters are %.2f mm wide at 5 mm, and their line %.2f", w, mm)
	}
	if pixels > 4*len(columns) {
		t.Errorf("%d dark pixels in %d columns are more than a line", pixels, len(columns))
	}
}

// A small picture that no font has is left out and told of: no line is left for it.
func TestSignsLeaveNoLine(t *testing.T) {
	st := Style{Size: 5}
	with, without := onPaper(t, "Lantern 🏮 for Maris 🏮", st), onPaper(t, "Lantern for Maris", st)
	_, a := dark(with)
	_, b := dark(without)
	if string(with.Missing) != "🏮" || math.Abs(float64(a-b)) > 0.02*float64(b) { // letters at another part of a pixel
		t.Errorf("missing are %q, and %d dark pixels are %d without", string(with.Missing), a, b)
	}
}

// Bold letters of scripts whose fonts have one weight are bolder all the same.
func TestOtherScriptsInBold(t *testing.T) {
	st := Style{Size: 5}
	for _, name := range []string{"فانوس لمريم", "פנס למאיה", "नीलिमा", "มาลี"} {
		_, plain := dark(onPaper(t, name, st))
		_, bold := dark(onPaper(t, name, st.Strong()))
		if share := float64(bold) / float64(plain); share < 1.15 || share > 1.8 {
			t.Errorf("%s: bold has %.2f times the ink", name, share)
		}
	}
}

// Names in other scripts are joined and ordered as their readers write them: Arabic
// letters hang together and run from the right, a vowel sign of Devanagari that is
// written after its consonant stands before it.
func TestOtherScripts(t *testing.T) {
	st := Style{Size: 5}
	for _, name := range []string{"ليلى أحمد", "שרה כהן", "नीलिमा", "নীলা", "தமிழ்", "ਅਮਨ", "มาลี", "Անի", "ნინო"} {
		r := onPaper(t, "for "+name, st)
		if len(r.Missing) > 0 {
			t.Errorf("%s: missing are %q", name, string(r.Missing))
		}
		end := Width("for ", st) + 1
		columns, _ := dark(r)
		last := float64(columns[len(columns)-1]+1) * 25.4 / 200
		if w := Width(name, st); last < end+0.8*w || last > end+w+0.3 {
			t.Errorf("%s ends at %.1f mm, and is to begin at %.1f and be %.1f wide", name, last, end, w)
		}
	}
	// Joined letters are of other forms: beside each other, not joined, they are wider.
	if joined, apart := Width("ببب", st), 3*Width("ب", st); joined > 0.95*apart {
		t.Errorf("three joined letters are %.2f mm wide, three single ones %.2f", joined, apart)
	}
	one := runs("ab ليلى أحمد", Regular)
	if len(one) != 2 || string(one[1].text) != "ليلى أحمد" {
		t.Fatalf("the words of a name read from the right are parted: %d runs", len(one))
	}
	// Both words' first letters stand at the right of what follows them.
	out := one[1].shaped()
	if first, last := out.Glyphs[0].TextIndex(), out.Glyphs[len(out.Glyphs)-1].TextIndex(); first < last {
		t.Errorf("the name begins at the left, letter %d before letter %d", first, last)
	}
}

// Lines with letters read from the right stand as the bidirectional algorithm orders
// them: digits from the left in them, brackets the other way round, and the first
// letter that has a direction gives the line's. The orders from the left are worked
// out by hand by UAX 9.
func TestReadFromTheRight(t *testing.T) {
	for _, c := range [][2]string{
		{"فانوس ١٢ لمريم", "ميرمل ١٢ سوناف"},
		{"ماریه ۱۴۰۵", "۱۴۰۵ هیرام"},
		{"فانوس 12 لمريم", "ميرمل 12 سوناف"},
		{"פנס (זהב) 12", "12 (בהז) סנפ"},
		{"«פנס»", "«סנפ»"},
		{"Lantern פנס 12, new", "Lantern 12 סנפ, new"},
		{"abc ١٢ שלום", "abc םולש ١٢"},
		{"פנס Gold 2", "Gold 2 סנפ"},
		{"for פנס 12 and שרה 3", "for 12 סנפ and 3 הרש"},
		{"Gold (1.5 %)", "Gold (1.5 %)"},
	} {
		r := onPaper(t, c[0], Style{Size: 4})
		if len(r.Missing) > 0 {
			t.Errorf("%s: missing are %q", c[0], string(r.Missing))
		}
		var left strings.Builder
		for _, part := range runs(c[0], Bold) {
			switch text := slices.Clone(part.text); {
			case part.other == nil:
				left.WriteString(part.latin(faces[Bold]))
			case part.level%2 == 1:
				slices.Reverse(text)
				left.WriteString(string(text))
			default:
				left.WriteString(string(text))
			}
			if part.other == nil {
				continue
			}
			for _, g := range part.shaped().Glyphs {
				if g.GlyphID == 0 {
					t.Errorf("%s: a letter of %q is not in its font", c[0], string(part.text))
				}
			}
		}
		if left.String() != c[1] {
			t.Errorf("%q stands as %q from the left, and is to be %q", c[0], left.String(), c[1])
		}
	}
	digits := runs("١٢", Regular)[0].shaped().Glyphs
	if digits[0].TextIndex() != 0 {
		t.Errorf("of ١٢ the first digit is letter %d", digits[0].TextIndex())
	}
}

// A letter that the font lacks but whose parts it has is drawn as those, as wide
// as they are, and is told of all the same.
func TestNearestLetter(t *testing.T) {
	for _, c := range [][2]string{{"Ｇｏｌｄ", "Gold"}, {"𝐆𝐨", "Go"}} {
		st := Style{Size: 4}
		r, plain := onPaper(t, c[0], st), onPaper(t, c[1], st)
		if !bytes.Equal(r.Pix.Pix, plain.Pix.Pix) || Width(c[0], st) != Width(c[1], st) {
			t.Errorf("%s is not drawn as %s", c[0], c[1])
		}
		if len(r.Missing) != len([]rune(c[0])) {
			t.Errorf("%s: missing are %q", c[0], string(r.Missing))
		}
	}
}

// The PNG says how large it is and that it is sRGB (PNG specification, third
// edition, 11.3.2.5 and 11.3.4.3): 200 dpi is 7874 pixels per metre.
func TestPNGCarriesSizeAndColour(t *testing.T) {
	r, err := NewRaster(101.6, 50.8, 200, colour.RGB8{R: 200, G: 100, B: 50})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := WritePNG(&b, r.Pix, r.DPI); err != nil {
		t.Fatal(err)
	}
	chunks := map[string][]byte{}
	var order []string
	for d := b.Bytes()[8:]; len(d) > 0; {
		n := binary.BigEndian.Uint32(d)
		kind := string(d[4:8])
		if crc32.ChecksumIEEE(d[4:8+n]) != binary.BigEndian.Uint32(d[8+n:]) {
			t.Errorf("%s has a wrong CRC", kind)
		}
		chunks[kind] = d[8 : 8+n]
		order = append(order, kind)
		d = d[12+n:]
	}
	if got := chunks["pHYs"]; !bytes.Equal(got, []byte{0, 0, 0x1e, 0xc2, 0, 0, 0x1e, 0xc2, 1}) {
		t.Errorf("pHYs is % x", got)
	}
	if got := chunks["sRGB"]; !bytes.Equal(got, []byte{1}) {
		t.Errorf("sRGB is % x", got)
	}
	if order[0] != "IHDR" || order[len(order)-1] != "IEND" || order[len(order)-2] != "IDAT" {
		t.Errorf("chunks in the order %v", order)
	}
	m, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if m.Bounds().Dx() != 800 || m.Bounds().Dy() != 400 {
		t.Errorf("the picture is %v", m.Bounds())
	}
	if r, g, bl, _ := m.At(5, 5).RGBA(); r>>8 != 200 || g>>8 != 100 || bl>>8 != 50 {
		t.Errorf("the paper is %d %d %d", r>>8, g>>8, bl>>8)
	}
}

// Every pixel comes back, whatever the height against the pieces packed.
func TestPNGKeepsEveryPixel(t *testing.T) {
	for _, h := range []int{1, 2, pieceBytes / 112, pieceBytes/112 + 1, pieceBytes / 56, pieceBytes/32 + 7} {
		m := image.NewRGBA(image.Rect(0, 0, 37, h))
		x := uint32(1)
		for i := range m.Pix {
			x = x*1664525 + 1013904223
			m.Pix[i] = uint8(x >> 24)
			if i%4 == 3 {
				m.Pix[i] = 255
			}
		}
		var b bytes.Buffer
		if err := WritePNG(&b, m, 300); err != nil {
			t.Fatal(err)
		}
		back, err := png.Decode(&b)
		if err != nil {
			t.Fatalf("%d rows: %v", h, err)
		}
		for y := range h {
			for x := range 37 {
				if got := color.RGBAModel.Convert(back.At(x, y)); got != m.RGBAAt(x, y) {
					t.Fatalf("%d rows: pixel %d, %d is %v, was %v", h, x, y, got, m.RGBAAt(x, y))
				}
			}
		}
	}
	if err := WritePNG(io.Discard, image.NewRGBA(image.Rect(0, 0, 0, 5)), 300); err == nil {
		t.Error("an empty picture was written")
	}
}

func TestRasterRefusesBadSizes(t *testing.T) {
	for _, c := range [][3]float64{{0, 10, 200}, {10, -1, 200}, {10, 10, 5}, {1e6, 1e6, 300}, {10, 10, 1e9}} {
		if _, err := NewRaster(c[0], c[1], c[2], colour.RGB8{}); err == nil {
			t.Errorf("%v was accepted", c)
		}
	}
}

// A hairline of 0.1 mm is 0.79 pixels at 200 dpi: wherever it falls it is one
// pixel wide, never none, and an empty box paints nothing.
func TestHairlinesNeverRoundAway(t *testing.T) {
	ink := colour.RGB8{}
	for i := range 60 {
		r, err := NewRaster(20, 20, 200, colour.RGB8{R: 255, G: 255, B: 255})
		if err != nil {
			t.Fatal(err)
		}
		at := 5 + float64(i)*0.0371
		r.Fill(Box{at, 2, 0.1, 5}, ink)
		r.Fill(Box{2, at + 5, 5, 0.1}, ink)
		r.Fill(Box{15, 15, 0, 3}, ink)
		across, down, none := 0, 0, 0
		for k := range r.Pix.Rect.Dx() {
			if r.Pix.RGBAAt(k, 30).R == 0 {
				across++
			}
			if r.Pix.RGBAAt(30, k).R == 0 {
				down++
			}
			if r.Pix.RGBAAt(k, 130).R == 0 {
				none++
			}
		}
		if across != 1 || down != 1 || none != 0 {
			t.Errorf("at %.3f mm the lines are %d and %d pixels, the empty box %d", at, across, down, none)
		}
	}
}

// Write puts the font's name over the library's in place, so that no byte
// moves.
func TestPDFFontNamesAreAsLong(t *testing.T) {
	for _, f := range pdfFonts {
		if len("utf8"+f.family) != len(f.name) {
			t.Errorf("utf8%s and %s differ in length", f.family, f.name)
		}
	}
}

// The sRGB profile in a PDF is what sRGB is: its three primaries add up to the
// D50 of the connection space, its curve is sRGB's, and its lengths hold.
func TestProfileIsSRGB(t *testing.T) {
	p := sRGBProfile()
	at := func(i int) int { return int(binary.BigEndian.Uint32(p[i:])) }
	if at(0) != len(p) || string(p[36:40]) != "acsp" || string(p[12:24]) != "mntrRGB XYZ " {
		t.Fatalf("a profile of %d bytes says it has %d", len(p), at(0))
	}
	tags := map[string][]byte{}
	for i := range at(128) {
		k := 132 + 12*i
		tags[string(p[k:k+4])] = p[at(k+4) : at(k+4)+at(k+8)]
	}
	var sum [3]float64
	for _, name := range []string{"rXYZ", "gXYZ", "bXYZ"} {
		for i := range sum {
			sum[i] += float64(int32(binary.BigEndian.Uint32(tags[name][8+4*i:]))) / 65536
		}
	}
	for i, want := range []float64{0.9642, 1, 0.8249} {
		if d := sum[i] - want; d > 5e-4 || d < -5e-4 {
			t.Errorf("the primaries add up to %v", sum)
		}
	}
	curve := tags["gTRC"]
	// Half of the signal is 21.4 % of the light.
	if mid := float64(binary.BigEndian.Uint16(curve[12+2*512:])) / 65535; mid < 0.213 || mid > 0.216 {
		t.Errorf("half of the signal is %.4f of the light", mid)
	}
}
