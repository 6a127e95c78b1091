package shimmer

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// WritePFM writes the picture as a portable float map (PF, little-endian, rows
// from the foot upwards): linear sRGB, 1 for the perfect diffuser, with all of
// the light that a screen cannot show.
func (p *Picture) WritePFM(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "PF\n%d %d\n-1.0\n", p.Width, p.Height)
	var word [4]byte
	for y := p.Height - 1; y >= 0; y-- {
		for _, v := range p.Pix[3*y*p.Width : 3*(y+1)*p.Width] {
			binary.LittleEndian.PutUint32(word[:], math.Float32bits(v))
			b.Write(word[:])
		}
	}
	return b.Flush() // reports the first error of any write
}
