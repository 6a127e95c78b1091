package table

import (
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"
)

func mustRead(t *testing.T, text string, k Kind) *File {
	t.Helper()
	f, err := Read("t.csv", strings.NewReader(text), k)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// What an error says: file, line, field, what is wrong, what would be accepted,
// and nothing of those it does not know.
func TestErrorWords(t *testing.T) {
	f := mustRead(t, "# kind: x\nname,value\na,1\n", Kind{Header: header})
	k, _ := f.Key("kind")
	for want, err := range map[string]*Error{
		"t.csv:3: value: too small; accepted: 2": f.Fault(f.Rows[0], 1, "too small", "2"),
		"t.csv:7: odd; accepted: even":           f.LineFault(7, "", "odd", "even"),
		"t.csv:1: kind: unknown; accepted: y":    f.KeyFault(k, "unknown", "y"),
		"t.csv: over":                            {File: "t.csv", Problem: "over"},
	} {
		if err.Error() != want {
			t.Errorf("%q, want %q", err, want)
		}
	}
	if e := f.Fault(f.Rows[0], 1, "", ""); e.Column != 2 {
		t.Errorf("column %d, want 2", e.Column)
	}
	if s := strings.Repeat("é", 60); Clip(s) != s || Clip(s+"é") != s+"…" {
		t.Error("60 letters are quoted whole and no more")
	}
}

func TestFindingKeysAndCells(t *testing.T) {
	f := mustRead(t, "# Kind: x\n# no colon\n#: nameless\nName,VALUE\na,1\n", Kind{})
	if f.Value("kind") != "x" || f.Value("none") != "" || len(f.Keys) != 1 {
		t.Errorf("keys %+v", f.Keys)
	}
	if _, ok := f.Key("none"); ok {
		t.Error("a key that is not there was found")
	}
	if r := f.Rows[0]; f.Cell(r, "value") != "1" || f.Cell(r, "Name") != "a" || f.Cell(r, "other") != "" {
		t.Errorf("cells of %+v", r)
	}
	if got := Words(" a; ;b;"); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("%q", got)
	}
}

// What a kind allows holds to the last row and byte, and no further.
func TestLimits(t *testing.T) {
	three := "name,value\na,1\nb,2\nc,3\n"
	size := int64(len(three))
	for _, c := range []struct {
		name string
		kind Kind
		says string // "" where it is read
	}{
		{"three rows of three", Kind{Header: header, MaxRows: 3}, ""},
		{"three rows of two", Kind{Header: header, MaxRows: 2}, "t.csv:4: more than 2 rows"},
		{"as many bytes", Kind{Header: header, MaxBytes: size}, ""},
		{"a byte fewer", Kind{Header: header, MaxBytes: size - 1}, "the file is over 0 kB"},
		{"a row as long as allowed", Kind{Header: header, MaxRow: len("name,value\n")}, ""},
		{"a row one byte longer", Kind{Header: header, MaxRow: len("name,value\n") - 1}, "t.csv:1: the row is over 0 kB"},
		{"a column that may be missing", Kind{Header: []string{"name", "value", "note"}, Optional: []string{"note"}}, ""},
		{"a column that may not", Kind{Header: []string{"name", "value", "note"}}, `t.csv:1: header: the column "note" is missing; accepted: name,value,note`},
	} {
		_, err := Read("t.csv", strings.NewReader(three), c.kind)
		if (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
	for n, want := range map[int64]string{4 << 20: "4 MB", 1 << 20: "1 MB", 1<<20 - 1: "1023 kB", 5 << 10: "5 kB"} {
		if got := sizeWords(n); got != want {
			t.Errorf("%d is %s, want %s", n, got, want)
		}
	}
	if _, err := Read("t.csv", strings.NewReader(""), Kind{}); err == nil || !strings.Contains(err.Error(), "a header and rows under it") {
		t.Errorf("an empty file of any header: %v", err)
	}
}

// An instrument's file says keys again and among the rows; the last holds.
func TestLateKeys(t *testing.T) {
	f := mustRead(t, "# light: A\n# light: D50\nname,value\na,1\n# light: D65\nb,2\n", Kind{Header: header, Late: true})
	if f.Value("light") != "D65" || len(f.Keys) != 1 || len(f.Rows) != 2 || f.Rows[1].Line != 6 {
		t.Errorf("%+v", f)
	}
	if _, err := Read("t.csv", strings.NewReader("name,value\na,1\n# b\x07: 2\n"), Kind{Header: header, Late: true}); err == nil {
		t.Error("a key that rings was read")
	}
}

// Raw cells keep their blanks, their line breaks and their numbers.
func TestRawCells(t *testing.T) {
	f := mustRead(t, "name;value\n\" a\n# b \";1,5\n#c;2\n", Kind{Header: header, Raw: true})
	if f.Rows[0].Fields[0] != " a\n# b " || f.Rows[0].Fields[1] != "1,5" || f.Rows[1].Fields[0] != "#c" {
		t.Errorf("%+v", f.Rows)
	}
}

// Whatever ends lines, parts cells and holds letters, the same cells come out.
func TestHabits(t *testing.T) {
	plain := "# note: née\nname,value\nrosé,1.5\n\"a;b\",-2e-3\n"
	want := mustRead(t, plain, Kind{Header: header})
	semicolons := strings.NewReplacer(",", ";", "1.5", "1,5").Replace("# note: née\nname,value\nrosé,1.5\n") + "\"a;b\";-2e-3\n"
	units := utf16.Encode([]rune("\ufeff" + plain))
	little, big := make([]byte, 0, 2*len(units)), make([]byte, 0, 2*len(units))
	for _, u := range units {
		little, big = append(little, byte(u), byte(u>>8)), append(big, byte(u>>8), byte(u))
	}
	latin := make([]byte, 0, len(plain))
	for _, r := range plain {
		latin = append(latin, byte(r))
	}
	for name, text := range map[string]string{
		"CRLF":          strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":            strings.ReplaceAll(plain, "\n", "\r"),
		"no last end":   strings.TrimSuffix(plain, "\n"),
		"semicolons":    semicolons,
		"tabs":          "# note: née\nname\tvalue\nrosé\t1,5\n\"a;b\"\t-2e-3\n",
		"empty columns": "\"# note: née\",,\nname,value,,\nrosé,1.5,,\n,,,\n\"a;b\",-2e-3,,\n",
		"upper case":    strings.Replace(plain, "name,value", "NAME,Value", 1),
		"UTF-8 mark":    "\ufeff" + plain,
		"UTF-16 little": string(little),
		"UTF-16 big":    string(big),
		"Latin-1":       string(latin),
		"letters apart": strings.ReplaceAll(plain, "é", "e\u0301"),
		"other order":   "# note: née\nvalue,name\n1.5,rosé\n-2e-3,a;b\n",
	} {
		got := mustRead(t, text, Kind{Header: header})
		if got.Value("note") != "née" || len(got.Rows) != 2 {
			t.Errorf("%s: %+v", name, got)
			continue
		}
		for i, r := range got.Rows {
			if !slices.Equal(r.Fields, want.Rows[i].Fields) {
				t.Errorf("%s: %q, want %q", name, r.Fields, want.Rows[i].Fields)
			}
		}
	}
	// In single bytes only the letters that Windows-1252 and others share.
	for b, ok := range map[string]bool{"\x80": false, "\x9f": false, "\xa0": true, "\xff": true} {
		if _, err := Read("t.csv", strings.NewReader("name,value\nx"+b+",1\n"), Kind{Header: header}); (err == nil) != ok {
			t.Errorf("byte %q: %v", b, err)
		}
	}
}

func TestClean(t *testing.T) {
	for text, want := range map[string]string{" ~\t\n": " ~\t\n", "e\u0301": "é", "💜 gold": "💜 gold"} {
		if got, err := Clean(text); err != nil || got != want {
			t.Errorf("%q is %q, %v", text, got, err)
		}
	}
	for _, bad := range []string{"\x1b", "\x1f", "\x7f", "\u0085", "\u2029", "\u2066", "\xff"} {
		if _, err := Clean("a" + bad); err == nil {
			t.Errorf("%q passed", bad)
		}
	}
}

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{"a\tb\né 💜": "a\tb\né 💜", "\x00\x1b[2J\x7f\r": `\u0000\u001b[2J\u007f\u000d`, "\u2028\u061c\u200e\u200f": `\u2028\u061c\u200e\u200f`, "\x9b\xff": "\ufffd\ufffd"} {
		if got := Visible(text); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
	for _, r := range [][2]rune{{0x80, 0x9f}, {0x202a, 0x202e}, {0x2066, 0x2069}} {
		for c := r[0]; c <= r[1]; c++ {
			if got := Visible(string(c)); strings.ContainsRune(got, c) || got == "" {
				t.Errorf("%U is shown as %q", c, got)
			}
		}
	}
}

func TestText(t *testing.T) {
	got, err := Text("t.txt", strings.NewReader("\ufeffa\r\ne\u0301\rb"), 100)
	if err != nil || got != "a\né\nb\n" {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := Text("t.txt", strings.NewReader("abc"), 2); err == nil {
		t.Error("three bytes of two were read")
	}
	if _, err := Text("t.txt", strings.NewReader("PK\x03\x04"), 100); err == nil {
		t.Error("an archive was read as text")
	}
	broken := errors.New("broken")
	if _, err := Text("t.txt", io.MultiReader(strings.NewReader("abcdef\n"), faulty{broken}), 100); !errors.Is(err, broken) {
		t.Errorf("%v, want the reader's own fault", err)
	}
}

type faulty struct{ err error }

func (f faulty) Read([]byte) (int, error) { return 0, f.err }

func TestNumbersAtTheirEnds(t *testing.T) {
	for text, want := range map[string]float64{"0": 0, "10": 10, "0,500": 0.5, "-0,001": -0.001} {
		if v, err := Finite(text); err != nil || v != want {
			t.Errorf("%q is %v, %v", text, v, err)
		}
	}
	for _, text := range []string{"0", "10"} {
		if _, err := Number(text, 0, 10); err != nil {
			t.Errorf("%s of 0 to 10: %v", text, err)
		}
	}
	if _, err := Number("10.5", 0, 10); err == nil || err.Error() != "10.5 is outside 0 to 10" {
		t.Errorf("%v", err)
	}
	if _, err := Number("x", 0.125, 10); err == nil || err.Error() != `"x" is not a number` {
		t.Errorf("%v", err)
	}
	if a, b, err := Span("7-7", 0, 10); err != nil || a != 7 || b != 7 {
		t.Errorf("%v to %v, %v", a, b, err)
	}
	for _, bad := range []string{"x-7", "7-x", "7-11"} {
		if _, _, err := Span(bad, 0, 10); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
	if got := trim(0.125); got != "0.125" {
		t.Errorf("%s", got)
	}
}

// A row put into a file leaves all else as it stands.
func TestPut(t *testing.T) {
	cells := map[string]string{"name": "c;d", "value": "3"}
	value := func(column string) string { return cells[column] }
	for _, c := range []struct {
		name, text string
		line       int
		want       string
	}{
		{"at the end", "# k: v\nname,value\na,1\n", 0, "# k: v\nname,value\na,1\nc;d,3\n"},
		{"after a last line without an end", "name,value\r\na,1", 0, "name,value\r\na,1\r\nc;d,3\r\n"},
		{"in a row's place", "name,value\na, 1\nb,2\n", 2, "name,value\nc;d,3\nb,2\n"},
		{"other columns", "VALUE;name\n1;a\n", 0, "VALUE;name\n1;a\n3;\"c;d\"\n"},
		{"CR", "name,value\ra,1\r", 2, "name,value\rc;d,3\r"},
		{"old letters", "name,value\nros\xe9,1\n", 0, "\ufeffname,value\nrosé,1\nc;d,3\n"},
	} {
		f := mustRead(t, c.text, Kind{Header: header})
		got, err := f.Put([]byte(c.text), c.line, value)
		if err != nil || string(got) != c.want {
			t.Errorf("%s: %q, %v, want %q", c.name, got, err, c.want)
		}
	}
	if got := mustRead(t, "name;value\na;1\n", Kind{}).Figure(0.123456789); got != "0,12345679" {
		t.Errorf("%s", got)
	}
	if got := mustRead(t, "name,value\na,1\n", Kind{}).Figure(1234.5); got != "1234.5" {
		t.Errorf("%s", got)
	}
}

func TestWriter(t *testing.T) {
	var b strings.Builder
	w := NewWriter(&b)
	w.Key("title", " two\n lines ")
	w.Key("empty", "")
	w.Row("name", "value")
	w.Row("a, b", "1")
	if err := w.Flush(); err != nil || b.String() != "# title: two lines\nname,value\n\"a, b\",1\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
	broken := errors.New("broken")
	w = NewWriter(faultyWriter{broken})
	w.Row("name", strings.Repeat("x", 1<<16))
	if err := w.Flush(); !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
}

type faultyWriter struct{ err error }

func (f faultyWriter) Write([]byte) (int, error) { return 0, f.err }
