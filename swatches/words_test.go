package swatches

import (
	"math"
	"testing"
)

func TestNumbersAsPrinted(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{number(-0.04, 1), "0.0"}, {number(-3.25, 1), "−3.2"}, {number(math.NaN(), 1), "–"},
		{amount(0.5), "0.5"}, {amount(2), "2"}, {amount(1.256), "1.26"}, {amount(100), "100"},
		{count(0), "0"}, {count(3.21), "3.2"}, {count(342), "340"}, {count(12345), "12\u00a0000"}, {count(45210), "45\u00a0000"}, {count(1234567), "1\u00a0200\u00a0000"}, {count(9.96), "10"},
	} {
		if c.got != c.want {
			t.Errorf("printed %q, want %q", c.got, c.want)
		}
	}
}
