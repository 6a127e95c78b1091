package shimmer

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"
)

// The float map keeps light far above white, rows from the foot upwards.
func TestPFM(t *testing.T) {
	p := &Picture{Width: 2, Height: 2, MMPerPixel: 0.1, Pix: []float32{0, 0, 0, 1, 1, 1, 250, 90, -0.5, 0.25, 0.5, 0.75}}
	var b bytes.Buffer
	if err := p.WritePFM(&b); err != nil {
		t.Fatal(err)
	}
	head := "PF\n2 2\n-1.0\n"
	if !strings.HasPrefix(b.String(), head) || b.Len() != len(head)+4*12 {
		t.Fatalf("%d bytes beginning %q", b.Len(), b.String()[:12])
	}
	for i, want := range []float32{250, 90, -0.5, 0.25, 0.5, 0.75, 0, 0, 0, 1, 1, 1} {
		got := math.Float32frombits(binary.LittleEndian.Uint32(b.Bytes()[len(head)+4*i:]))
		if got != want {
			t.Errorf("value %d is %g, want %g", i, got, want)
		}
	}
	if err := p.WritePFM(full{}); err == nil {
		t.Error("a full disk was not reported")
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }
