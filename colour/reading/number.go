package reading

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// number reads a finite number. Where the file's delimiter leaves the comma
// free, a comma is a decimal comma.
func number(s string, decimalComma bool) (float64, error) {
	s = strings.TrimSpace(s)
	if decimalComma && strings.Contains(s, ",") {
		if strings.Contains(s, ".") || strings.Count(s, ",") > 1 {
			return 0, fmt.Errorf("both a comma and a point")
		}
		s = strings.Replace(s, ",", ".", 1)
	}
	// ParseFloat also takes hexadecimal and underscores, which in a reading
	// are slips.
	if strings.ContainsAny(s, "xXpP_") {
		return 0, strconv.ErrSyntax
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, err
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("not finite")
	}
	return x, nil
}
