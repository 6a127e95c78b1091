package batch

import (
	"tawny/blend/palette"
)

// Loose bulk density assumed where a powder's is not given, g/ml (common
// practice: pearl mica 0.15–0.4, iron oxides and titania 0.4–1.0).
const (
	assumedFlakeBulk = 0.25
	assumedOxideBulk = 0.7
)

// bulkDensity is the powder's loose density, g/ml, and whether it was assumed.
func bulkDensity(p *palette.Pigment) (float64, bool) {
	return orAssumed(p, p.BulkDensity, assumedFlakeBulk, assumedOxideBulk)
}
