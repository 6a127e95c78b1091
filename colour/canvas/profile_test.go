package canvas

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"flag"
	"math"
	"os"
	"testing"

	"tawny/colour"
)

var update = flag.Bool("update", false, "write the sRGB profile anew")

// The profile that is built in is the one that its numbers make.
func TestProfileIsAsMade(t *testing.T) {
	want := madeProfile()
	if *update {
		var b bytes.Buffer
		w, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // the level is a known one
		w.Write(want)                                         // into a buffer, which never fails
		w.Close()
		if err := os.WriteFile("sRGB.icc.gz", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(sRGBProfile(), want) {
		t.Errorf("%d bytes are built in, not the %d made here", len(sRGBProfile()), len(want))
	}
}

// madeProfile makes the ICC profile of sRGB (IEC 61966-2-1) that a PDF names
// as what its colours are meant for: version 2.1 of ICC.1, primaries and curve
// in matrix form, adapted to D50 as the profile connection space asks.
func madeProfile() []byte {
	type tag struct {
		name string
		data []byte
	}
	fixed := func(kind string, v ...float64) []byte {
		b := append([]byte(kind), 0, 0, 0, 0)
		for _, x := range v {
			b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(x*65536))))
		}
		return b
	}
	const name = "sRGB IEC61966-2.1"
	desc := append([]byte("desc\x00\x00\x00\x00"), be32(uint32(len(name)+1))...)
	desc = append(append(desc, name...), make([]byte, 1+4+4+2+1+67)...)
	const steps = 1024
	curve := append([]byte("curv\x00\x00\x00\x00"), be32(steps)...)
	for i := range steps {
		v := colour.DecodeSRGB(float64(i) / (steps - 1))
		curve = binary.BigEndian.AppendUint16(curve, uint16(math.Round(65535*v)))
	}
	tags := []tag{
		{"desc", desc},
		{"cprt", []byte("text\x00\x00\x00\x00No copyright, use freely\x00")},
		{"wtpt", fixed("XYZ ", 0.9505, 1, 1.0891)},
		// sRGB's primaries by the Bradford transform to D50 (as the ICC lists them).
		{"rXYZ", fixed("XYZ ", 0.4360, 0.2225, 0.0139)},
		{"gXYZ", fixed("XYZ ", 0.3851, 0.7169, 0.0971)},
		{"bXYZ", fixed("XYZ ", 0.1431, 0.0606, 0.7139)},
		{"rTRC", curve}, {"gTRC", nil}, {"bTRC", nil}, // the three share one
	}
	table, data := be32(uint32(len(tags))), []byte(nil)
	start := 128 + 4 + 12*len(tags)
	at, size := 0, 0
	for _, t := range tags {
		if t.data != nil {
			at, size = start+len(data), len(t.data)
			data = append(data, t.data...)
			data = append(data, make([]byte, (4-len(data)%4)%4)...)
		}
		table = append(append(table, t.name...), be32(uint32(at), uint32(size))...)
	}
	head := be32(uint32(start+len(data)), 0, 0x02100000)
	head = append(head, "mntrRGB XYZ "...)
	head = append(head, 0x07, 0xea, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0) // 1 January 2026
	head = append(head, "acsp"...)
	head = append(head, make([]byte, 28)...)
	head = append(head, fixed("", 0.9642, 1, 0.8249)[4:]...) // the illuminant, D50
	head = append(head, make([]byte, 128-len(head))...)
	return append(append(head, table...), data...)
}
