package colour

// Geometry is how a colour is lit and read, in CIE 15's letters where it has
// them.
type Geometry string

// The geometries of a reading.
const (
	DI    Geometry = "di"    // sphere, gloss included
	DE    Geometry = "de"    // sphere, gloss trapped
	At45  Geometry = "45"    // light at 45°, seen square on
	Photo Geometry = "photo" // light from all round, seen square on, no gloss
)

// Geometries lists them.
var Geometries = [4]Geometry{DI, DE, At45, Photo}
