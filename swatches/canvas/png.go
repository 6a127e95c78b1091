package canvas

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"math"
)

// WritePNG writes the picture as an opaque 8-bit PNG that carries its physical
// size (pHYs, pixels per metre) and says that it is sRGB (the sRGB chunk,
// relative colorimetric since the patches are measured against white, with
// the gAMA and cHRM values the PNG specification asks for beside it).
func WritePNG(w io.Writer, m *image.RGBA, dpi float64) error {
	var b bytes.Buffer
	if err := encodePNG(&b, m); err != nil {
		return err
	}
	const header = 8 + 25 // signature and IHDR chunk
	data := b.Bytes()
	for _, part := range [][]byte{data[:header], chunk("sRGB", []byte{1}), chunk("gAMA", be32(45455)),
		chunk("cHRM", be32(31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000)),
		chunk("pHYs", append(be32(perMetre(dpi), perMetre(dpi)), 1)), data[header:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

func encodePNG(w io.Writer, m *image.RGBA) error {
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	return enc.Encode(w, m)
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
