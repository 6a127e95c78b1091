// Fit makes the skin model's coefficients from measured spectra:
//
//	go run ./colour/skin/fit skin-reflectance.csv > colour/skin/model.csv
//
// The argument is a CSV of one subject a row, specular included, on the 36-band
// grid: the NIST skin data at 10 nm (Cooksey, Allen and Tsai, J. Res. NIST
// 122:26, 2017, data doi:10.18434/M38597). Only the fit is kept in the tree.
package main

import (
	"fmt"
	"os"
)

const note = "Skin model: mean and components of ln K/S, our fit by colour/skin/fit to the NIST skin data (doi:10.18434/M38597, 75 forearms). Hue is L*, L*, h, h."

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "fit:", err)
		os.Exit(2)
	}
}

func run() error {
	if len(os.Args) != 2 {
		return fmt.Errorf("one argument is needed, the CSV of measured skin spectra")
	}
	f, err := os.Open(os.Args[1])
	if err != nil {
		return err
	}
	defer f.Close()
	subjects, err := ReadSubjects(f)
	if err != nil {
		return fmt.Errorf("%s: %w", os.Args[1], err)
	}
	m, err := Fit(subjects)
	if err != nil {
		return fmt.Errorf("%s: %w", os.Args[1], err)
	}
	_, away := fitHue(subjects)
	fmt.Fprintf(os.Stderr, "hue from the median, quartiles: %.2f and %.2f degrees\n", away[len(away)/4], away[3*len(away)/4])
	return m.Write(os.Stdout, note)
}
