package swatches

import (
	"image"
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/canvas"
)

// recorder is paper that remembers where each line of text was put.
type recorder struct {
	texts  []recordedText
	fills  []canvas.Box
	images []canvas.Box
	shapes []canvas.Box // what outlines they have round them
	lines  [][]canvas.Point
}

type recordedText struct {
	s    string
	size float64
	box  canvas.Box // from the height of capitals to the baseline
}

func (r *recorder) Fill(b canvas.Box, c colour.RGB8) { r.fills = append(r.fills, b) }
func (r *recorder) Shape(p []canvas.Point, _ colour.RGB8) {
	b := canvas.Box{X: p[0].X, Y: p[0].Y}
	for _, q := range p {
		right, foot := max(b.Right(), q.X), max(b.Bottom(), q.Y)
		b.X, b.Y = min(b.X, q.X), min(b.Y, q.Y)
		b.W, b.H = right-b.X, foot-b.Y
	}
	r.shapes = append(r.shapes, b)
}
func (r *recorder) Line(p []canvas.Point, _ float64, _ colour.RGB8, _ ...float64) {
	r.lines = append(r.lines, p)
}
func (r *recorder) Image(b canvas.Box, m *image.RGBA) {
	r.fills = append(r.fills, b)
	r.images = append(r.images, b)
}
func (r *recorder) Pixels(b canvas.Box) (int, int) { return max(1, int(b.W)), max(1, int(b.H)) }
func (r *recorder) Text(at canvas.Point, s string, st canvas.Style) {
	h := st.CapHeight()
	r.texts = append(r.texts, recordedText{s, st.Size, canvas.Box{X: at.X, Y: at.Y - h, W: canvas.Width(s, st), H: h}})
}

// missingDigits tells the number in the box that stands for a letter the font
// lacks: four or five hexadecimal digits in two rows.
func missingDigits(x recordedText) bool {
	return len(x.s) <= 3 && x.size < 1.5 && strings.Trim(x.s, "0123456789ABCDEF") == ""
}

// record draws and holds the drawing to its promises: nothing leaves the page,
// no two lines of text touch, and no text is smaller than smallest mm.
func record(t *testing.T, name string, d Drawing, p Paper, smallest float64) *recorder {
	t.Helper()
	p = p.filled()
	r, page := &recorder{}, p.page()
	d.Draw(r, page)
	for _, f := range r.fills {
		if !page.Contains(f) {
			t.Errorf("%s: a fill %+v leaves the page", name, f)
		}
		if f.W < 0 || f.H < 0 {
			t.Errorf("%s: a fill %+v is inside out", name, f)
		}
	}
	for i, a := range r.texts {
		if !page.Inset(2).Contains(a.box) {
			t.Errorf("%s: %q at %+v leaves the page", name, a.s, a.box)
		}
		if a.size < smallest-1e-9 && !missingDigits(a) {
			t.Errorf("%s: %q is %.2f mm; at least %.2f is legible", name, a.s, a.size, smallest)
		}
		for _, b := range r.texts[:i] {
			if a.box.Overlaps(b.box) {
				t.Errorf("%s: %q and %q overlap", name, a.s, b.s)
			}
		}
	}
	return r
}
