package page

import (
	"fmt"
	"io"

	"rsc.io/qr"

	"tawny/cmd/tawny/job"
)

// PrintPhone prints an address and its QR code, two rows of dots to a line of
// text, for a phone to scan off the screen.
func PrintPhone(w io.Writer, url string) {
	fmt.Fprintf(w, "On a phone in the same network, once:\n  %s\n", url)
	c, err := qr.Encode(url, qr.L)
	if err != nil {
		return // the address stands above
	}
	const quiet = 4 // dots of margin (ISO/IEC 18004, 6.3.8)
	before, after := "  ", ""
	if job.IsTerminal(w) {
		// White on black whatever the terminal's own colours: not every scanner
		// reads a code with light and dark the other way round.
		before, after = "  \x1b[97;40m", "\x1b[0m"
	}
	dark := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < c.Size && y < c.Size && c.Black(x, y)
	}
	fmt.Fprintln(w)
	for y := -quiet; y < c.Size+quiet; y += 2 {
		fmt.Fprint(w, before)
		for x := -quiet; x < c.Size+quiet; x++ {
			// Light dots are drawn, so that the margin shows up too.
			switch top, bottom := !dark(x, y), !dark(x, y+1); {
			case top && bottom:
				fmt.Fprint(w, "█")
			case top:
				fmt.Fprint(w, "▀")
			case bottom:
				fmt.Fprint(w, "▄")
			default:
				fmt.Fprint(w, " ")
			}
		}
		fmt.Fprintln(w, after)
	}
	fmt.Fprintln(w)
}
