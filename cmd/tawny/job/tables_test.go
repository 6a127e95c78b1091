package job

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/unicode/norm"

	"tawny/blend/batch"
	"tawny/blend/book"
	"tawny/blend/drawdown"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/reading"
)

// tableKinds is every kind of file a maker may bring, with one of each and what
// reads it.
func tableKinds(t *testing.T) map[string]tableKind {
	t.Helper()
	demo := func(name string) string {
		data, err := os.ReadFile("../../../testdata/fit/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	spectrum := func(columns int) string {
		var b strings.Builder
		for nm := 380; nm <= 730; nm += 10 {
			fmt.Fprintf(&b, "%d%s\n", nm, strings.Repeat(fmt.Sprintf(",%g", 0.3+float64(nm-380)/1000), columns))
		}
		return b.String()
	}
	drawer := "# title: Ada, her drawer\nname,family,inci,ci,layers,substrate_nm,spectrum,d10_um,d50_um,d90_um,density_g_cm3,bulk_g_ml,oil_absorption_g_100g,price_per_g,stock_g,lot,areas,source\n" +
		"Nacré gold,gold,Mica=60.5;Titanium Dioxide=39.5,CI 77019;CI 77891,rutile:75,400,,10,24.5,55,3.1,0.3,65,0.14,60,,body;eyes,guessed\n" +
		"plain,silver,Mica=100,CI 77019,bare,400,,10,24,55,2.8,0.3,65,0.1,60.25,L-1,body,guessed\n"
	base := "# base: Kitchen, plain\n# kind: oil\n# density_g_ml: 0.92\n# consistency: thin\nphase,name,inci,percent,roles,add_below_c,usual_low,usual_high,usual_of,hlb\n" +
		"oil,Huile de tournesol pressée,Helianthus Annuus Seed Oil,90.5,emollient;filler,,,,,\nwetting,Castor,Ricinus Communis Seed Oil,9.5,wetting,,2,20,product,\n"
	text := func(s string) *strings.Reader { return strings.NewReader(s) }
	files := bookExport(t)
	return map[string]tableKind{
		"book":           {string(files["movement.csv"].Data), func(s string) (any, error) { return bookOf(t, files, s) }},
		"drawer":         {drawer, func(s string) (any, error) { return palette.Parse("f.csv", text(s), nil) }},
		"powder":         {"# kind: flake\n# face_area_cm2_mg: 5.5\nwavelength,k,s\n" + spectrum(2), func(s string) (any, error) { return palette.ParsePowderSpectrum("f.csv", text(s)) }},
		"light":          {"# name: lampe, été\nwavelength,power\n" + spectrum(1), func(s string) (any, error) { return colour.ParseIlluminant("f.csv", text(s)) }},
		"reflectance":    {"# scale: unit\n# specular: excluded\nwavelength,reflectance\n" + spectrum(1), samplesOf},
		"readings":       {demo("skin-demo.csv"), samplesOf},
		"readings, long": {"# scale: unit\nwavelength,poignet été,arm\n" + spectrum(2), samplesOf},
		"drawdowns":      {demo("pale-gold-demo.csv"), func(s string) (any, error) { return drawdownsOf(s) }},
		"base":           {base, func(s string) (any, error) { return batch.ReadBase(text(s), "f.csv") }},
		"prices":         {"# currency: EUR\nitem,price,per\nNacré gold,0.14,g\ncontainer,1.25,each\n", func(s string) (any, error) { return batch.ReadPrices(text(s), "f.csv") }},
	}
}

type tableKind struct {
	text string
	read func(string) (any, error)
}

func samplesOf(s string) (any, error) {
	list, notes, err := reading.Parse("f.csv", strings.NewReader(s))
	return []any{list, notes}, err
}

// bookExport is a small book's files.
func bookExport(t *testing.T) fstest.MapFS {
	t.Helper()
	b := newTestBook(t)
	powder, err := book.Add(t.Context(), b, book.Powder{Name: "Nacré gold", Family: "gold", Source: "demo", Note: `"pale", not deep`})
	if err != nil {
		t.Fatal(err)
	}
	lot, err := b.AddLot(t.Context(), book.Lot{PowderID: powder, Lot: "7,5"}, 60)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range []book.Movement{{LotID: lot, Kind: "spilt", Grams: -0.25, Note: "tombé, à côté"}, {LotID: lot, Kind: "given", Grams: -1.5, Note: "-1,5"}} {
		if _, err := book.Add(t.Context(), b, m); err != nil {
			t.Fatal(err)
		}
	}
	folder := filepath.Join(t.TempDir(), "book")
	if _, err := b.ExportFile(t.Context(), folder, book.ExportOptions{Clients: true}); err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	list, err := filepath.Glob(filepath.Join(folder, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range list {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = &fstest.MapFile{Data: data}
	}
	return files
}

func newTestBook(t *testing.T) *book.Book {
	t.Helper()
	b, err := book.Open(t.Context(), filepath.Join(t.TempDir(), "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

// bookOf is the book that an export gives with its movements as they are.
func bookOf(t *testing.T, files fstest.MapFS, movements string) (any, error) {
	t.Helper()
	b := newTestBook(t)
	files = maps.Clone(files)
	files["movement.csv"] = &fstest.MapFile{Data: []byte(movements)}
	if _, err := b.ImportCSV(t.Context(), files); err != nil {
		return nil, errors.New(strings.Replace(err.Error(), "movement.csv", "f.csv", 1))
	}
	return b.Ledger(t.Context(), 1)
}

func drawdownsOf(s string) (any, error) {
	d, err := drawdown.ParseFile("f.csv", []byte(s), nil)
	if err != nil {
		return nil, err
	}
	type film struct {
		Line              int
		Film, Ground, Lot string
		Mass, MassError   float64
		Reading           colour.Reading
	}
	var films []film
	for _, r := range d.Films {
		films = append(films, film{r.Line, r.Film, r.Ground, r.Lot, r.Mass.MgPerCM2, r.Mass.Err, r.Reading})
	}
	return []any{d.Keys, films, d.Bare, d.Notes}, nil
}

// habits are what spreadsheets and systems do to a file as they save it.
var habits = map[string]func(string) []byte{
	"line ends of Windows": func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r\n")) },
	"byte order mark":      func(s string) []byte { return []byte("\ufeff" + s) },
	"UTF-16":               func(s string) []byte { return utf16of(s, unicode.LittleEndian) },
	"UTF-16, big end":      func(s string) []byte { return utf16of(s, unicode.BigEndian) },
	"tabs":                 func(s string) []byte { return []byte(separated(s, '\t')) },
	"semicolons":           func(s string) []byte { return []byte(separated(s, ';')) },
	"quoted keys": func(s string) []byte {
		return []byte(regexp.MustCompile(`(?m)^#.*$`).ReplaceAllStringFunc(s, func(k string) string { return `"` + strings.ReplaceAll(k, `"`, `""`) + `",,,,` }))
	},
	"line ends of an old Macintosh": func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r")) },
	"accents apart":                 func(s string) []byte { return []byte(norm.NFD.String(s)) },
	"semicolons and empty columns": func(s string) []byte {
		return []byte(regexp.MustCompile(`(?m)^.*$`).ReplaceAllString(strings.TrimSuffix(separated(s, ';'), "\n"), "$0;;;"))
	},
	"blank rows": func(s string) []byte { return []byte(s + ",\n,,,,\n\n") },
	"empty columns at the end": func(s string) []byte {
		return []byte(regexp.MustCompile(`(?m)^[^#\n].*$`).ReplaceAllStringFunc(s, func(row string) string { return row + ",,," }))
	},
	"capitals in the header": func(s string) []byte {
		at := regexp.MustCompile(`(?m)^[^#\n].*$`).FindStringIndex(s)
		return []byte(s[:at[0]] + strings.ToUpper(s[at[0]:at[1]]) + s[at[1]:])
	},
}

func utf16of(s string, end unicode.Endianness) []byte {
	data, err := unicode.UTF16(end, unicode.UseBOM).NewEncoder().Bytes([]byte(s))
	if err != nil {
		panic(err) // not so: it is Unicode
	}
	return data
}

var wholeNumber = regexp.MustCompile(`^(-?\d+)\.(\d+)$`)

// separated writes the rows with another separator and a decimal comma.
func separated(s string, by rune) string {
	var out bytes.Buffer
	for line := range strings.Lines(s) {
		if strings.HasPrefix(line, "#") {
			out.WriteString(line)
			continue
		}
		cells, err := csv.NewReader(strings.NewReader(line)).Read()
		if err != nil {
			panic(err)
		}
		for i, c := range cells {
			cells[i] = wholeNumber.ReplaceAllString(c, "$1,$2")
		}
		w := csv.NewWriter(&out)
		w.Comma = by
		w.Write(cells)
		w.Flush()
	}
	return out.String()
}

// Every kind of file reads alike whatever a spreadsheet made of it.
func TestEveryKindReadsEveryHabit(t *testing.T) {
	for name, kind := range tableKinds(t) {
		plain, err := kind.read(kind.text)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := asJSON(t, plain)
		for habit, change := range habits {
			if name == "book" && habit == "accents apart" {
				continue // a book's own text comes back as it was kept
			}
			got, err := kind.read(string(change(kind.text)))
			if err != nil {
				t.Errorf("%s, %s: %v", name, habit, err)
				continue
			}
			w := want
			if habit == "capitals in the header" {
				w = strings.ToLower(w) // a sample may be named by its column
			}
			if g := asJSON(t, got); g != w && strings.ToLower(g) != w {
				t.Errorf("%s, %s: reads\n%.300s\nnot\n%.300s", name, habit, g, want)
			}
		}
		// Windows-1252 is read right or refused, and never as other letters.
		data, err := charmap.Windows1252.NewEncoder().Bytes([]byte(kind.text))
		if err != nil {
			continue // it has letters that this encoding lacks
		}
		if got, err := kind.read(string(data)); err == nil && asJSON(t, got) != want {
			t.Errorf("%s, Windows-1252: reads\n%.300s", name, asJSON(t, got))
		}
	}
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// What cannot be told is refused by every kind, with the line.
func TestEveryKindRefusesWhatItCannotTell(t *testing.T) {
	for name, kind := range tableKinds(t) {
		lines := strings.SplitAfter(kind.text, "\n")
		for what, bad := range map[string]string{"an old encoding": "# note: Nacr\x8e\n", "an escape": "# note: \x1b[2J\n", "a zero byte": "# note: \x00\n"} {
			_, err := kind.read(lines[0] + bad + strings.Join(lines[1:], ""))
			if err == nil || !strings.Contains(err.Error(), "f.csv:2: ") {
				t.Errorf("%s, %s: %v", name, what, err)
			}
		}
	}
}
