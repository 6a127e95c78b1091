package skin

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"tawny/colour"
)

// person is one measured skin.
type person struct {
	Number      int
	Group       string
	Doubtful    bool            // looks badly taken; left out of fits
	Reflectance colour.Spectrum // gloss included; beyond First and Last the nearest value
	First, Last int             // bands measured
	Block       string          // of neighbours, who may be one person
}

// Lab returns the reading's colour under D65 and the 2° observer.
func (r *person) Lab() colour.Lab { return colour.D65.Lab(&r.Reflectance) }

// Class returns the reading's class.
func (r *person) Class() Class { return ClassOf(ITA(r.Lab())) }

// neighbours is how far apart the numbers of two records of one group may be
// for them to be taken for one person's; a person has up to a dozen sites.
const neighbours = 20

// ReadFile reads a file of skin readings; see [readPeople].
func readPeopleFile(path string) ([]person, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	list, err := readPeople(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return list, nil
}

// errOther says that a file holds no skin readings.
var errOther = errors.New("not skin readings")

// readPeople reads rows of a number under "record" or "subject" and a reflectance
// under each whole wavelength in nm, with or without columns "group" and
// "doubtful"; others are left alone. Records of one group whose numbers follow
// within [neighbours] are one block, and so is each subject.
func readPeople(r io.Reader) ([]person, error) {
	rows := csv.NewReader(r)
	rows.Comment = '#'
	header, err := rows.Read()
	if err != nil {
		return nil, fmt.Errorf("%w: no header: %v", errOther, err)
	}
	if header[0] != "record" && header[0] != "subject" {
		return nil, fmt.Errorf("%w: the header's first column is %q; record or subject is accepted", errOther, header[0])
	}
	var nm []float64
	var column []int
	for i, name := range header {
		if w, err := strconv.Atoi(name); err == nil {
			nm, column = append(nm, float64(w)), append(column, i)
		}
	}
	if len(nm) == 0 {
		return nil, fmt.Errorf("%w: no column is headed by a whole wavelength in nm", errOther)
	}
	group, doubtful := slices.Index(header, "group"), slices.Index(header, "doubtful")
	var list []person
	for {
		row, err := rows.Read()
		if err == io.EOF {
			return list, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := rows.FieldPos(0)
		s := person{}
		if s.Number, err = strconv.Atoi(row[0]); err != nil {
			return nil, fmt.Errorf("line %d: %s %q; a whole number is accepted", line, header[0], row[0])
		}
		value := make([]float64, len(nm))
		for i, c := range column {
			x, err := strconv.ParseFloat(strings.TrimSpace(row[c]), 64)
			if err != nil || !(x > 0 && x < 1) {
				return nil, fmt.Errorf("line %d: %q at %g nm; a reflectance over 0 and under 1 is accepted", line, row[c], nm[i])
			}
			value[i] = x
		}
		if s.Reflectance, err = colour.Resample(nm, value); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		s.First, s.Last = bandsOf(nm)
		if doubtful >= 0 {
			s.Doubtful = row[doubtful] == "1"
		}
		s.Block = fmt.Sprintf("%s %d", header[0], s.Number)
		if group >= 0 {
			s.Group = row[group]
			if n := len(list); n > 0 && list[n-1].Group == s.Group && s.Number-list[n-1].Number <= neighbours {
				s.Block = list[n-1].Block
			}
		}
		list = append(list, s)
	}
}

// bandsOf returns the first and last band that wavelengths reach.
func bandsOf(nm []float64) (first, last int) {
	first, last = 0, colour.Bands-1
	for colour.WavelengthNM(first) < slices.Min(nm) {
		first++
	}
	for colour.WavelengthNM(last) > slices.Max(nm) {
		last--
	}
	return first, last
}

// sound returns the readings that are not doubtful.
func sound(list []person) (kept []person) {
	for _, r := range list {
		if !r.Doubtful {
			kept = append(kept, r)
		}
	}
	return kept
}
