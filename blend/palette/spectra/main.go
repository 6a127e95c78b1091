// Command spectra writes the K and S files of the built-in palette's ordinary
// pigments from their grain model:
//
//	go run ./blend/palette/spectra blend/palette
//
// Every file is modelled, none measured. A test in package palette holds the
// committed files to the model.
package main

import (
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strings"

	"tawny/blend/flake/grain"
	"tawny/colour"
)

// files names each material's file.
var files = map[string]string{
	"hematite":    "red-oxide.csv",
	"goethite":    "yellow-oxide.csv",
	"magnetite":   "black-oxide.csv",
	"rutile":      "titanium-white.csv",
	"ultramarine": "ultramarine-blue.csv",
	"chromia":     "chromia-green.csv",
}

func main() {
	if len(os.Args) != 2 {
		log.Fatal("usage: spectra FOLDER")
	}
	for _, g := range grain.Grades() {
		file, ok := files[g.Grain.Material]
		if !ok {
			log.Printf("%s has no file here", g.Grain.Material)
			continue
		}
		o, err := g.Grain.Optics()
		if err != nil {
			log.Fatal(err)
		}
		var b strings.Builder
		fmt.Fprintf(&b, "# title: %s, K and S per areal mass\n# kind: diffuse\n", g.Name)
		fmt.Fprintf(&b, "# source: modelled: spheres of %s, median %g µm, by Mie scattering in a binder of 1.47\n", g.Grain.Material, g.Grain.DiameterUM)
		fmt.Fprintln(&b, "# units: cm²/mg\nwavelength,k,s")
		for i := range o.K {
			fmt.Fprintf(&b, "%g,%.6g,%.6g\n", colour.WavelengthNM(i), o.K[i], o.S[i])
		}
		if err := os.WriteFile(filepath.Join(os.Args[1], file), []byte(b.String()), 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
