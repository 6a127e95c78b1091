package swatches

import (
	"bytes"

	"tawny/swatches/canvas"
)

// PNG draws and returns a PNG of the paper's exact size.
func PNG(d Drawing, p Paper) ([]byte, error) {
	r, err := Raster(d, p)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := canvas.WritePNG(&b, r.Pix, r.DPI); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
