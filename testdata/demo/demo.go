// Package demo holds invented example data: the wardrobe workshop of a small
// dance company, three dancers and two looks. None of it was measured.
package demo

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

//go:embed dancers.csv
var dancersCSV []byte

//go:embed looks.csv
var looksCSV []byte

// Dancer is one of the company, with an invented skin reading.
type Dancer struct {
	Name string
	Skin string // as --skin takes it
	Note string
}

// Look is one shade the workshop makes.
type Look struct {
	Name     string
	Target   string  // as --target takes it
	Load     float64 // % w/w
	Apply    float64 // mg/cm²
	Base     string
	Grams    float64
	BalanceG float64
	Note     string
}

// Dancers returns the company.
func Dancers() []Dancer {
	var list []Dancer
	for _, r := range rows(dancersCSV, 3) {
		list = append(list, Dancer{r[0], r[1], r[2]})
	}
	return list
}

// Looks returns the shades.
func Looks() []Look {
	var list []Look
	for _, r := range rows(looksCSV, 8) {
		var n [4]float64
		for i, k := range []int{2, 3, 5, 6} {
			x, err := strconv.ParseFloat(r[k], 64)
			if err != nil {
				panic(fmt.Sprintf("demo looks: %q: %v", r[k], err))
			}
			n[i] = x
		}
		list = append(list, Look{r[0], r[1], n[0], n[1], r[4], n[2], n[3], r[7]})
	}
	return list
}

// FindDancer returns the dancer of a name, case ignored.
func FindDancer(name string) (Dancer, bool) {
	for _, d := range Dancers() {
		if strings.EqualFold(d.Name, name) {
			return d, true
		}
	}
	return Dancer{}, false
}

// FindLook returns the look of a name, case ignored.
func FindLook(name string) (Look, bool) {
	for _, l := range Looks() {
		if strings.EqualFold(l.Name, name) {
			return l, true
		}
	}
	return Look{}, false
}

// rows reads an embedded table; a fault in one is a fault of the build.
func rows(data []byte, columns int) [][]string {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment, r.FieldsPerRecord = '#', columns
	all, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	return all[1:]
}
