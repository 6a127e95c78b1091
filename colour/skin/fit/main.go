// Fit makes the skin model's coefficients from measured spectra:
//
//	go run ./colour/skin/fit skin-reflectance-nist.csv skin-reflectance-archive.csv > colour/skin/model.csv
//
// The arguments are CSVs of one reading a row, gloss included; see the package
// documentation of colour/skin for whose. Only the fit is kept in the tree.
package main

import (
	"fmt"
	"os"
)

const note = "ln K/S by term, our fit by colour/skin/fit to the NIST skin data (doi:10.18434/M38597) and 246 records of the International Skin Spectra Archive (doi:10.6084/m9.figshare.28228571.v4, CC BY 4.0)."

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "fit:", err)
		os.Exit(2)
	}
}

func run() error {
	if len(os.Args) < 2 {
		return fmt.Errorf("the CSVs of measured skin spectra are needed")
	}
	var all []Reading
	for _, path := range os.Args[1:] {
		list, err := ReadFile(path)
		if err != nil {
			return err
		}
		all = append(all, sound(list)...)
	}
	m, err := Fit(all)
	if err != nil {
		return err
	}
	return m.Write(os.Stdout, note)
}
