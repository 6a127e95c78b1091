package reading

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"unicode/utf16"

	"tawny/colour"
	"tawny/colour/table"
)

// space takes stored values to linear-light sRGB: a tone curve for each
// channel, then a 3 × 3 matrix for the primaries.
type space struct {
	curve  [3]*toneCurve
	matrix [3][3]float64
}

// toneCurve is linear light, 0 to 1, for each of the 65,536 stored values. A
// table costs 256 kB and is exact for 8 and 16 bits.
type toneCurve [1 << 16]float32

func newCurve(f func(float64) float64) *toneCurve {
	c := new(toneCurve)
	for i := range c {
		c[i] = float32(f(float64(i) / 65535))
	}
	return c
}

// srgb is IEC 61966-2-1, what a photo without a profile is taken to be.
var srgb = func() space {
	c := newCurve(colour.DecodeSRGB)
	return space{[3]*toneCurve{c, c, c}, [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}
}()

// linear returns linear-light sRGB of a stored pixel.
func (s *space) linear(r, g, b uint16) [3]float64 {
	v := [3]float64{float64(s.curve[0][r]), float64(s.curve[1][g]), float64(s.curve[2][b])}
	var out [3]float64
	for i := range out {
		out[i] = s.matrix[i][0]*v[0] + s.matrix[i][1]*v[1] + s.matrix[i][2]*v[2]
	}
	return out
}

// nearly says whether two spaces agree to half a step of 8 bits.
func (s space) nearly(t space) bool {
	for _, v := range [][3]uint16{{65535, 0, 0}, {0, 65535, 0}, {0, 0, 65535}, {65535, 65535, 65535}, {32768, 32768, 32768}, {8192, 8192, 8192}} {
		p, q := s.linear(v[0], v[1], v[2]), t.linear(v[0], v[1], v[2])
		for i := range p {
			if math.Abs(p[i]-q[i]) > 0.005 {
				return false
			}
		}
	}
	return true
}

// parseProfile reads an ICC profile for a display or camera whose colour is
// three curves and a matrix (ICC.1:2022, three-component matrix-based). title
// is its description, given also where the rest is not understood.
func parseProfile(data []byte) (s space, title string, err error) {
	if len(data) < 132 {
		return s, "", fmt.Errorf("it is cut short")
	}
	tags, err := profileTags(data)
	if err != nil {
		return s, "", err
	}
	title = profileTitle(tags["desc"])
	if kind := string(data[16:20]); kind != "RGB " {
		return s, title, fmt.Errorf("it is for %q, not RGB", strings.TrimSpace(kind))
	}
	if pcs := string(data[20:24]); pcs != "XYZ " {
		return s, title, fmt.Errorf("it is a table, not a matrix")
	}
	var columns [3][3]float64
	for i, name := range []string{"rXYZ", "gXYZ", "bXYZ"} {
		if columns[i], err = profileXYZ(tags[name]); err != nil {
			return s, title, fmt.Errorf("%s: %w", name, err)
		}
	}
	for i, name := range []string{"rTRC", "gTRC", "bTRC"} {
		if s.curve[i], err = profileCurve(tags[name]); err != nil {
			return s, title, fmt.Errorf("%s: %w", name, err)
		}
	}
	// The profile's colours are relative to D50 and white is (0.9642, 1,
	// 0.8249); Bradford is the adaptation the format prescribes.
	d50 := colour.XYZ{X: 96.42, Y: 100, Z: 82.49}
	for j, c := range columns {
		xyz := colour.AdaptProfile(colour.XYZ{X: 100 * c[0], Y: 100 * c[1], Z: 100 * c[2]}, d50, colour.D65.White())
		rgb := xyz.LinearRGB()
		for i := range rgb {
			s.matrix[i][j] = rgb[i]
		}
	}
	return s, title, nil
}

func profileTags(data []byte) (map[string][]byte, error) {
	count := uint64(binary.BigEndian.Uint32(data[128:]))
	if count > 200 || 132+12*count > uint64(len(data)) {
		return nil, fmt.Errorf("its list of tags is cut short")
	}
	tags := map[string][]byte{}
	for i := uint64(0); i < count; i++ {
		e := data[132+12*i:]
		from, size := uint64(binary.BigEndian.Uint32(e[4:])), uint64(binary.BigEndian.Uint32(e[8:]))
		if from+size > uint64(len(data)) {
			return nil, fmt.Errorf("its tag %q lies outside it", e[:4])
		}
		tags[string(e[:4])] = data[from : from+size]
	}
	return tags, nil
}

// profileTitle reads a description of version 2 (ASCII) or 4 (UTF-16).
func profileTitle(tag []byte) string {
	if len(tag) < 12 {
		return ""
	}
	switch string(tag[:4]) {
	case "desc":
		n := uint64(binary.BigEndian.Uint32(tag[8:]))
		if n > uint64(len(tag)-12) {
			return ""
		}
		return printable(string(tag[12 : 12+n]))
	case "mluc":
		if len(tag) < 28 || binary.BigEndian.Uint32(tag[8:]) == 0 {
			return ""
		}
		n, at := uint64(binary.BigEndian.Uint32(tag[20:])), uint64(binary.BigEndian.Uint32(tag[24:]))
		if at+n > uint64(len(tag)) {
			return ""
		}
		units := make([]uint16, n/2)
		for i := range units {
			units[i] = binary.BigEndian.Uint16(tag[at+2*uint64(i):])
		}
		return printable(string(utf16.Decode(units)))
	}
	return ""
}

// printable keeps what a screen can show, in one short line.
func printable(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < 32 || r == 127 || r == '\ufffd' {
			return -1
		}
		return r
	}, s)
	return table.Clip(strings.TrimSpace(s))
}

func fixed(b []byte) float64 { return float64(int32(binary.BigEndian.Uint32(b))) / 65536 }

func profileXYZ(tag []byte) (v [3]float64, err error) {
	if len(tag) < 20 || string(tag[:4]) != "XYZ " {
		return v, fmt.Errorf("it is missing")
	}
	for i := range v {
		v[i] = fixed(tag[8+4*i:])
	}
	return v, nil
}

// profileCurve reads a sampled or parametric tone curve (ICC.1 §10.6, §10.18).
func profileCurve(tag []byte) (*toneCurve, error) {
	if len(tag) < 12 {
		return nil, fmt.Errorf("it is missing")
	}
	switch string(tag[:4]) {
	case "curv":
		n := uint64(binary.BigEndian.Uint32(tag[8:]))
		if n > 1<<16 || 12+2*n > uint64(len(tag)) {
			return nil, fmt.Errorf("its curve is cut short")
		}
		at := func(i uint64) float64 { return float64(binary.BigEndian.Uint16(tag[12+2*i:])) }
		switch n {
		case 0:
			return newCurve(func(v float64) float64 { return v }), nil
		case 1:
			return newCurve(func(v float64) float64 { return math.Pow(v, at(0)/256) }), nil
		}
		return newCurve(func(v float64) float64 {
			x := v * float64(n-1)
			k := min(uint64(x), n-2)
			f := x - float64(k)
			return ((1-f)*at(k) + f*at(k+1)) / 65535
		}), nil
	case "para":
		kind := binary.BigEndian.Uint16(tag[8:])
		counts := []int{1, 3, 4, 5, 7}
		if int(kind) >= len(counts) || len(tag) < 12+4*counts[kind] {
			return nil, fmt.Errorf("its curve is of a kind not known")
		}
		var p [7]float64 // g a b c d e f
		p[1] = 1
		for i := range counts[kind] {
			p[i] = fixed(tag[12+4*i:])
		}
		g, a, b, c, d, e, f := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
		switch kind {
		case 0:
			d = math.Inf(-1)
		case 1: // 0 below −b/a
			c, d = 0, -b/a
		case 2: // c is added throughout
			e, f, c, d = c, c, 0, -b/a
		}
		curve := newCurve(func(v float64) float64 {
			if v >= d {
				return math.Pow(max(a*v+b, 0), g) + e
			}
			return c*v + f
		})
		for _, v := range curve {
			if math.IsNaN(float64(v)) || math.Abs(float64(v)) > 4 {
				return nil, fmt.Errorf("its curve leaves 0 to 1")
			}
		}
		return curve, nil
	}
	return nil, fmt.Errorf("its curve is of a kind not known")
}
