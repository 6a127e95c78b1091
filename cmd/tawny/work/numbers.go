package work

import (
	"strconv"

	"tawny/colour"
)

func trimNumber(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func deltaE(a, b BlendView) float64 { return colour.DeltaE00(a.Lab, b.Lab) }
