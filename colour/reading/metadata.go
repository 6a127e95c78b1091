package reading

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
)

// metadata is what a picture file says of itself beside the pixels.
type metadata struct {
	turn    orientation
	profile []byte     // ICC profile, nil where none is embedded
	gamma   float64    // of a PNG's gAMA chunk, 0 where there is none
	step    [2]float64 // of a JPEG's stored means, in 8-bit levels: light and colour
	note    string
}

// maxProfile is the largest ICC profile read; a matrix profile is under 4 kB,
// a table for printing up to a few MB.
const maxProfile = 4 << 20

func (m *metadata) exif(tiff []byte) {
	o, err := exifOrientation(tiff)
	if err != nil {
		m.note = fmt.Sprintf("the photo's way up could not be read (%v); it was taken as stored", err)
	}
	m.turn = o
}

// jpegMetadata walks the marker segments up to the first scan.
func jpegMetadata(r io.Reader) (metadata, error) {
	m := metadata{turn: upright}
	b := bufio.NewReader(r)
	if _, err := b.Discard(2); err != nil {
		return m, fmt.Errorf("the JPEG is cut short")
	}
	parts := map[byte][]byte{}
	var count byte
	seenExif := false
	for {
		marker, err := b.ReadByte()
		if err != nil {
			return m, fmt.Errorf("the JPEG ends before its picture begins")
		}
		if marker != 0xff {
			continue // padding between segments; the decoder is as lenient
		}
		for marker == 0xff {
			if marker, err = b.ReadByte(); err != nil {
				return m, fmt.Errorf("the JPEG ends before its picture begins")
			}
		}
		switch {
		case marker == 0xda || marker == 0xd9: // start of scan, end of image
			m.profile = join(parts, count)
			return m, nil
		case marker == 0 || marker == 1 || marker >= 0xd0 && marker <= 0xd8:
			continue // no payload
		}
		var size [2]byte
		if _, err := io.ReadFull(b, size[:]); err != nil {
			return m, fmt.Errorf("the JPEG is cut short in its header")
		}
		length := int(binary.BigEndian.Uint16(size[:])) - 2
		if length < 0 {
			return m, fmt.Errorf("the JPEG has a segment of impossible length")
		}
		if marker != 0xe1 && marker != 0xe2 && marker != 0xdb {
			if _, err := b.Discard(length); err != nil {
				return m, fmt.Errorf("the JPEG is cut short in its header")
			}
			continue
		}
		data := make([]byte, length)
		if _, err := io.ReadFull(b, data); err != nil {
			return m, fmt.Errorf("the JPEG is cut short in its header")
		}
		if marker == 0xdb {
			m.quantisation(data)
			continue
		}
		if tiff, ok := bytes.CutPrefix(data, []byte("Exif\x00\x00")); ok && marker == 0xe1 && !seenExif {
			seenExif = true
			m.exif(tiff)
		}
		// A profile is split in numbered parts (ICC.1, annex B).
		if part, ok := bytes.CutPrefix(data, []byte("ICC_PROFILE\x00")); ok && marker == 0xe2 && len(part) > 2 {
			if _, have := parts[part[0]]; !have {
				parts[part[0]] = part[2:]
				count = part[1]
			}
		}
	}
}

// quantisation reads the step of each table's first coefficient, which is 8
// times a block's mean (ITU-T T.81, B.2.4.1 and A.3.3). Table 0 is light and 1
// colour in every camera's files (common practice).
func (m *metadata) quantisation(tables []byte) {
	for len(tables) > 0 {
		wide, which := tables[0]>>4, tables[0]&15
		size := 1 + 64*(1+int(wide))
		if wide > 1 || len(tables) < size {
			return // the decoder says what is wrong
		}
		q := float64(tables[1])
		if wide == 1 {
			q = float64(binary.BigEndian.Uint16(tables[1:]))
		}
		if which < 2 {
			m.step[which] = q / 8
		}
		tables = tables[size:]
	}
}

// join puts a profile's parts together, nil where there are none and what
// there is where one is missing, so that its reader can say so.
func join(parts map[byte][]byte, count byte) []byte {
	if len(parts) == 0 {
		return nil
	}
	profile := []byte{}
	for i := 1; i <= int(count); i++ {
		profile = append(profile, parts[byte(i)]...)
		if len(profile) > maxProfile {
			return profile[:maxProfile]
		}
	}
	return profile
}

// pngMetadata walks the chunks up to the pixels; eXIf may also follow them.
func pngMetadata(r io.Reader) (metadata, error) {
	m := metadata{turn: upright}
	b := bufio.NewReader(r)
	if _, err := b.Discard(8); err != nil {
		return m, fmt.Errorf("the PNG is cut short")
	}
	for {
		var head [8]byte
		if _, err := io.ReadFull(b, head[:]); err != nil {
			return m, nil // the decoder says what is missing
		}
		length := int64(binary.BigEndian.Uint32(head[:4]))
		kind := string(head[4:])
		wanted := kind == "iCCP" || kind == "eXIf" || kind == "gAMA" || kind == "cICP"
		switch {
		case kind == "IEND":
			return m, nil
		case !wanted || length > maxProfile:
			if _, err := io.CopyN(io.Discard, b, length+4); err != nil {
				return m, nil
			}
			continue
		}
		data := make([]byte, length)
		if _, err := io.ReadFull(b, data); err != nil {
			return m, nil
		}
		if _, err := b.Discard(4); err != nil { // the checksum, which the decoder holds it to
			return m, nil
		}
		switch kind {
		case "eXIf":
			m.exif(data)
		case "gAMA":
			if len(data) == 4 {
				m.gamma = float64(binary.BigEndian.Uint32(data)) / 100000
			}
		case "cICP":
			if len(data) == 4 && (data[0] != 1 || data[1] != 13) { // BT.709 primaries, sRGB curve
				m.note = "the PNG names a colour space by number that is not sRGB; sRGB was assumed unless a profile is embedded"
			}
		case "iCCP":
			m.profile = inflate(data)
		}
	}
}

// inflate takes the profile out of an iCCP chunk: name, 0, method 0, zlib.
// Where it is broken the answer is empty, not nil: there is a profile, but
// nothing is known of it.
func inflate(chunk []byte) []byte {
	at := bytes.IndexByte(chunk, 0)
	if at < 0 || at+2 > len(chunk) || chunk[at+1] != 0 {
		return []byte{}
	}
	z, err := zlib.NewReader(bytes.NewReader(chunk[at+2:]))
	if err != nil {
		return []byte{}
	}
	defer z.Close()
	profile, err := io.ReadAll(io.LimitReader(z, maxProfile))
	if err != nil {
		return []byte{}
	}
	return profile
}
