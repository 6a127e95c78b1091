package reading

import (
	"encoding/binary"
	"fmt"
)

// orientation is the EXIF tag 0x0112, 1 to 8: which way up the camera stored
// the picture (EXIF 2.3, CIPA DC-008, §4.6.4).
type orientation int

const upright orientation = 1

// size returns the upright size of a picture stored w × h.
func (o orientation) size(w, h int) (int, int) {
	if o >= 5 && o <= 8 {
		return h, w
	}
	return w, h
}

// stored maps an upright position to the stored picture of w × h. The tag
// names where the stored first row and first column belong: 6 is row right,
// column top, the usual telephone held upright.
func (o orientation) stored(x, y, w, h int) (int, int) {
	switch o {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, h - 1 - x
	case 7:
		return w - 1 - y, h - 1 - x
	case 8:
		return w - 1 - y, x
	}
	return x, y
}

// exifOrientation finds the tag in a TIFF block, which is what an EXIF segment
// holds after its name. No tag means upright; a broken block is an error.
func exifOrientation(tiff []byte) (orientation, error) {
	if len(tiff) < 8 {
		return upright, fmt.Errorf("its EXIF block is %d bytes, too short", len(tiff))
	}
	var order binary.ByteOrder
	switch string(tiff[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
		order = binary.BigEndian
	default:
		return upright, fmt.Errorf("its EXIF block begins with %q, not II or MM", tiff[:2])
	}
	if order.Uint16(tiff[2:]) != 42 {
		return upright, fmt.Errorf("its EXIF block is not TIFF")
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return upright, fmt.Errorf("its EXIF directory lies outside the block")
	}
	entries := uint64(order.Uint16(tiff[at:]))
	for i := uint64(0); i < entries; i++ {
		e := at + 2 + 12*i
		if e+12 > uint64(len(tiff)) {
			return upright, fmt.Errorf("its EXIF directory is cut short")
		}
		if order.Uint16(tiff[e:]) != 0x0112 {
			continue
		}
		value := uint32(order.Uint16(tiff[e+8:]))
		const long = 4
		if order.Uint16(tiff[e+2:]) == long {
			value = order.Uint32(tiff[e+8:])
		}
		if value < 1 || value > 8 {
			return upright, fmt.Errorf("its EXIF orientation is %d; 1 to 8 is accepted", value)
		}
		return orientation(value), nil
	}
	return upright, nil
}
