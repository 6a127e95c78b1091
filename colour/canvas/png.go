package canvas

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"hash/adler32"
	"hash/crc32"
	"image"
	"io"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// WritePNG writes the picture as an opaque 8-bit PNG that carries its physical
// size (pHYs, pixels per metre) and says that it is sRGB (the sRGB chunk,
// relative colorimetric since the patches are measured against white, with
// the gAMA and cHRM values the PNG specification asks for beside it).
func WritePNG(w io.Writer, m *image.RGBA, dpi float64) error {
	return writePNG(w, m,
		chunk("sRGB", []byte{1}),
		chunk("gAMA", be32(45455)),
		chunk("cHRM", be32(31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000)),
		chunk("pHYs", append(be32(perMetre(dpi), perMetre(dpi)), 1)))
}

const pngSignature = "\x89PNG\r\n\x1a\n"

// writePNG writes signature, header, the given chunks, and the pixels, packed
// in strips by several workers.
func writePNG(w io.Writer, m *image.RGBA, ancillary ...[]byte) error {
	size := m.Rect.Size()
	if size.X < 1 || size.Y < 1 {
		return fmt.Errorf("a picture of %d × %d pixels cannot be written", size.X, size.Y)
	}
	header := append(be32(uint32(size.X), uint32(size.Y)), 8, 2, 0, 0, 0) // 8 bits, RGB
	parts := append([][]byte{[]byte(pngSignature), chunk("IHDR", header)}, ancillary...)
	data, err := pack(m)
	if err != nil {
		return err
	}
	for _, p := range append(parts, chunk("IDAT", data), chunk("IEND", nil)) {
		if _, err := w.Write(p); err != nil {
			return err
		}
	}
	return nil
}

// stripRows is how many rows are packed at a time; fixed, so that the bytes do
// not hang on the number of workers.
const stripRows = 64

// pack returns the zlib stream of the picture's rows. Deflate streams cut at a
// flush can be laid end to end (RFC 1951 3.2.4), so strips are packed apart.
func pack(m *image.RGBA) ([]byte, error) {
	size := m.Rect.Size()
	strips := make([]strip, (size.Y+stripRows-1)/stripRows)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(strips)) {
		wg.Go(func() {
			line := make([]byte, 1+3*size.X)
			for {
				i := int(next.Add(1)) - 1
				if i >= len(strips) {
					return
				}
				strips[i].pack(m, i*stripRows, min((i+1)*stripRows, size.Y), line)
			}
		})
	}
	wg.Wait()
	total, sum := 6, uint32(1)
	for i := range strips {
		if strips[i].err != nil {
			return nil, strips[i].err
		}
		total += strips[i].packed.Len()
	}
	data := append(make([]byte, 0, total), 0x78, 0x01) // zlib, fastest (RFC 1950)
	for i := range strips {
		data = append(data, strips[i].packed.Bytes()...)
		sum = adlerJoin(sum, strips[i].sum, strips[i].length)
	}
	return binary.BigEndian.AppendUint32(data, sum), nil
}

type strip struct {
	packed bytes.Buffer
	sum    uint32 // Adler-32 of what was packed
	length int
	err    error
}

var deflaters = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(io.Discard, flate.BestSpeed) // the level is a known one
	return w
}}

// pack packs rows y0 to y1, each filtered by its difference from the row
// above: flat colour and slow shading become zeros.
func (s *strip) pack(m *image.RGBA, y0, y1 int, line []byte) {
	w := deflaters.Get().(*flate.Writer)
	defer deflaters.Put(w)
	s.packed.Grow(1 << 14)
	w.Reset(&s.packed)
	sum := adler32.New()
	width := m.Rect.Dx()
	blank := make([]byte, 4*width) // above the first row
	for y := y0; y < y1 && s.err == nil; y++ {
		row := m.Pix[y*m.Stride : y*m.Stride+4*width]
		above := blank
		if y > 0 {
			above = m.Pix[(y-1)*m.Stride : (y-1)*m.Stride+4*width]
		}
		line[0] = 2 // filter type Up
		for x, k := 0, 1; x < 4*width; x, k = x+4, k+3 {
			line[k] = row[x] - above[x]
			line[k+1] = row[x+1] - above[x+1]
			line[k+2] = row[x+2] - above[x+2]
		}
		sum.Write(line)
		s.length += len(line)
		_, s.err = w.Write(line)
	}
	s.sum = sum.Sum32()
	if s.err != nil {
		return
	}
	if y1 == m.Rect.Dy() {
		s.err = w.Close()
	} else {
		s.err = w.Flush()
	}
}

// adlerJoin returns the Adler-32 of two pieces laid end to end, from that of
// each and the length of the second (the sums are linear; RFC 1950 8.2).
func adlerJoin(first, second uint32, length int) uint32 {
	const base = 65521
	n := uint64(length) % base
	a1, b1 := uint64(first&0xffff), uint64(first>>16)
	a2, b2 := uint64(second&0xffff), uint64(second>>16)
	a := (a1 + a2 + base - 1) % base
	b := (b1 + b2 + n*(a1+base-1)) % base
	return uint32(b<<16 | a)
}

// perMetre turns dots per inch of 25.4 mm into pixels per metre.
func perMetre(dpi float64) uint32 { return uint32(math.Round(dpi / 0.0254)) }

func be32(v ...uint32) []byte {
	var b []byte
	for _, x := range v {
		b = binary.BigEndian.AppendUint32(b, x)
	}
	return b
}

// chunk lays out one PNG chunk: length, type, data, CRC of type and data.
func chunk(kind string, data []byte) []byte {
	b := be32(uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}
