package colour

import (
	"fmt"
	"strings"
)

// Geometry is how a colour is lit and read, in CIE 15's letters where it has
// them; "" where nobody said.
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

// GeometryForms is what errors about a geometry offer.
const GeometryForms = "di (sphere, gloss included), de (sphere, gloss excluded), 45 (45°:0°) or photo"

// Assumed is the geometry a reading is predicted in: a sphere with gloss where
// nobody said.
func (g Geometry) Assumed() Geometry {
	if g == "" {
		return DI
	}
	return g
}

// Words says how a colour was read.
func (g Geometry) Words() string {
	switch g {
	case DI:
		return "read with a sphere, gloss included"
	case DE:
		return "read with a sphere, gloss excluded"
	case At45:
		return "read at 45°:0°"
	case Photo:
		return "as a photo or the eye has it, without gloss"
	}
	return "not said how it was read, so taken as with a sphere, gloss included"
}

// ParseGeometry understands the four geometries and what instruments call them:
// SCI and SCE, and CIE 15's names, where 45:0 never sees gloss and a sphere
// that says no more has it in.
func ParseGeometry(text string) (Geometry, error) {
	switch s := strings.ToLower(strings.NewReplacer(" ", "", "°", "", "/", ":", ",", "").Replace(text)); s {
	case "di", "included", "sci", "spin", "sphere", "d:8", "di:8", "8:d", "8:di", "d:0":
		return DI, nil
	case "de", "excluded", "sce", "spex", "de:8", "8:de":
		return DE, nil
	case "45", "45:0", "0:45", "45a:0", "0:45a", "45c:0", "0:45c":
		return At45, nil
	case "photo":
		return Photo, nil
	}
	return "", fmt.Errorf("%q is no geometry; %s is accepted", text, GeometryForms)
}
