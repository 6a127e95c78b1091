package shimmer

// Picture is a rendering in linear light.
type Picture struct {
	Width, Height int     // pixels
	MMPerPixel    float64 // physical scale
	// Pix holds linear sRGB, three values to a pixel, row by row from the top.
	// The perfect diffuser is 1; lit flakes go far beyond, and colours outside
	// sRGB have negative parts. Nothing is clipped.
	Pix []float32
	// Expected is the number of glints that theory puts in the picture, Drawn
	// how many fell inside it under this seed.
	Expected, Drawn float64
}
