package swatches

import (
	"io"

	"tawny/swatches/canvas"
	"tawny/swatches/shimmer"
)

// WritePicture writes a rendering alone as a PNG at its own physical scale,
// brought to the screen by the tone.
func WritePicture(path string, p *shimmer.Picture, t shimmer.Tone) error {
	return canvas.WriteFile(path, func(w io.Writer) error { return canvas.WritePNG(w, p.RGBA(t), 25.4/p.MMPerPixel) })
}

// WriteLinear writes a rendering in linear light, nothing clipped, as a
// portable float map: see [shimmer.Picture.WritePFM].
func WriteLinear(path string, p *shimmer.Picture) error {
	return canvas.WriteFile(path, p.WritePFM)
}
