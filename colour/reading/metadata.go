package reading

import (
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
func jpegMetadata(data []byte) (metadata, error) {
	m := metadata{turn: upright}
	parts := map[byte][]byte{}
	var count byte
	seenExif := false
	for at := 2; ; {
		for at < len(data) && data[at] != 0xff {
			at++ // padding between segments; the decoder is as lenient
		}
		for at < len(data) && data[at] == 0xff {
			at++
		}
		if at >= len(data) {
			return m, fmt.Errorf("the JPEG ends before its picture begins")
		}
		marker := data[at]
		at++
		switch {
		case marker == 0xda || marker == 0xd9: // start of scan, end of image
			m.profile = join(parts, count)
			return m, nil
		case marker == 0 || marker == 1 || marker >= 0xd0 && marker <= 0xd8:
			continue // no payload
		}
		length := 2
		if at+2 <= len(data) {
			length = int(binary.BigEndian.Uint16(data[at:]))
		}
		if length < 2 {
			return m, fmt.Errorf("the JPEG has a segment of impossible length")
		}
		if at+length > len(data) {
			return m, fmt.Errorf("the JPEG is cut short in its header")
		}
		segment := data[at+2 : at+length]
		at += length
		switch marker {
		case 0xdb:
			m.quantisation(segment)
		case 0xe1:
			if tiff, ok := bytes.CutPrefix(segment, []byte("Exif\x00\x00")); ok && !seenExif {
				seenExif = true
				m.exif(tiff)
			}
		case 0xe2:
			// A profile is split in numbered parts (ICC.1, annex B).
			if part, ok := bytes.CutPrefix(segment, []byte("ICC_PROFILE\x00")); ok && len(part) > 2 && parts[part[0]] == nil {
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

// pngMetadata walks the chunks; eXIf may follow the pixels.
func pngMetadata(data []byte) (metadata, error) {
	m := metadata{turn: upright}
	for at := 8; at+12 <= len(data); {
		length := int(binary.BigEndian.Uint32(data[at:]))
		kind := string(data[at+4 : at+8])
		if kind == "IEND" || length < 0 || length > len(data)-at-12 {
			break // the decoder says what is missing
		}
		body := data[at+8 : at+8+length]
		at += 12 + length // with the checksum, which the decoder holds it to
		switch {
		case kind == "eXIf":
			m.exif(body)
		case kind == "gAMA" && length == 4:
			m.gamma = float64(binary.BigEndian.Uint32(body)) / 100000
		case kind == "cICP" && length == 4 && (body[0] != 1 || body[1] != 13): // BT.709 primaries, sRGB curve
			m.note = "the PNG names a colour space by number that is not sRGB; sRGB was assumed unless a profile is embedded"
		case kind == "iCCP":
			m.profile = inflate(body)
		}
	}
	return m, nil
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
