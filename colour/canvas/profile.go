package canvas

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"io"
	"sync"
)

// profileGZ is made by TestProfileIsAsMade, which says of what.
//
//go:embed sRGB.icc.gz
var profileGZ []byte

// sRGBProfile returns the ICC profile of sRGB (IEC 61966-2-1) that a PDF names as what
// its colours are meant for.
var sRGBProfile = sync.OnceValue(func() []byte {
	z, err := gzip.NewReader(bytes.NewReader(profileGZ))
	if err != nil {
		panic(err) // compiled in, so a fault of the build
	}
	data, _ := io.ReadAll(z) // a short one fails its test
	return data
})
