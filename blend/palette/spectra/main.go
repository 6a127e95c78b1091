// Command spectra writes the spectrum files of the built-in palette's ordinary
// pigments from their grain model:
//
//	go run ./blend/palette/spectra blend/palette
//
// Every file is modelled, none measured. A test in package palette holds the
// committed files to the model.
package main

import (
	"bytes"
	"log"
	"os"
	"path/filepath"

	"tawny/blend/flake/grain"
	"tawny/blend/palette"
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
	for material, file := range files {
		g := grain.Grades[material]
		o, err := g.Grain.Optics()
		if err != nil {
			log.Fatal(err)
		}
		note := palette.FitNote{Powder: g.Name, Method: "modelled: Mie's spheres in a binder of 1.47", Source: palette.Modelled}
		g.Grain.Binder = grain.DefaultBinder
		var b bytes.Buffer
		if err := palette.WritePowderSpectrum(&b, &palette.Optics{K: o.K, S: o.S, Moments: o.Moments, Grain: g.Grain}, &note); err != nil {
			log.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(os.Args[1], file), b.Bytes(), 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
