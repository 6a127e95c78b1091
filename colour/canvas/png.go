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
	"sync"

	"tawny/colour/parallel"
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

// writePNG writes signature, header, the given chunks, and the pixels.
func writePNG(w io.Writer, m *image.RGBA, ancillary ...[]byte) error {
	size := m.Rect.Size()
	if size.X < 1 || size.Y < 1 {
		return fmt.Errorf("a picture of %d × %d pixels cannot be written", size.X, size.Y)
	}
	header := append(be32(uint32(size.X), uint32(size.Y)), 8, 2, 0, 0, 0) // 8 bits, RGB
	parts := append([][]byte{[]byte(pngSignature), chunk("IHDR", header)}, ancillary...)
	for _, p := range append(parts, chunk("IDAT", pack(m)), chunk("IEND", nil)) {
		if _, err := w.Write(p); err != nil {
			return err
		}
	}
	return nil
}

// pieceBytes is how much is packed at a time; fixed, so that the bytes do not
// hang on the number of workers.
const pieceBytes = 1 << 18

// pack returns the zlib stream of the picture's rows, each filtered by its
// difference from the row above: flat colour and slow shading become zeros.
// Deflate streams cut at a flush can be laid end to end (RFC 1951 3.2.4), so
// pieces are packed apart.
func pack(m *image.RGBA) []byte {
	wide, tall := m.Rect.Dx(), m.Rect.Dy()
	rows := make([]byte, 0, (1+3*wide)*tall)
	above := make([]byte, 4*wide)
	for y := range tall {
		row := m.Pix[y*m.Stride : y*m.Stride+4*wide]
		rows = append(rows, 2) // filter type Up
		for x := 0; x < len(row); x += 4 {
			rows = append(rows, row[x]-above[x], row[x+1]-above[x+1], row[x+2]-above[x+2])
		}
		above = row
	}
	pieces := make([]bytes.Buffer, (len(rows)+pieceBytes-1)/pieceBytes)
	parallel.For(0, len(pieces), func(i int) {
		w := deflaters.Get().(*flate.Writer)
		defer deflaters.Put(w)
		w.Reset(&pieces[i])
		end := (i + 1) * pieceBytes
		w.Write(rows[i*pieceBytes : min(end, len(rows))]) // into a buffer, which never fails
		if end < len(rows) {
			w.Flush()
		} else {
			w.Close()
		}
	})
	data := []byte{0x78, 0x01} // zlib, fastest (RFC 1950)
	for i := range pieces {
		data = append(data, pieces[i].Bytes()...)
	}
	return binary.BigEndian.AppendUint32(data, adler32.Checksum(rows))
}

var deflaters = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(io.Discard, flate.BestSpeed) // the level is a known one
	return w
}}

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
