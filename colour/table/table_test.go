package table

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"
)

var header = []string{"name", "value"}

func TestRead(t *testing.T) {
	f, err := Read("t.csv", strings.NewReader("\ufeff# title: a, b\r\n\"# note: x, y\",\r\n\r\nname,value\r\n one , 1\r\n,\r\n\"two, too\",2\r\n"), Kind{Header: header})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Keys) != 2 || f.Keys[0].Value != "a, b" || f.Keys[1].Value != "x, y" || f.Keys[1].Line != 2 {
		t.Errorf("keys %+v", f.Keys)
	}
	if len(f.Rows) != 2 || f.Rows[0].Fields[0] != "one" || f.Rows[1].Fields[0] != "two, too" || f.Rows[1].Line != 7 {
		t.Errorf("rows %+v", f.Rows)
	}
}

// Each fault names line and column.
func TestReadFaults(t *testing.T) {
	for _, c := range []struct {
		name, text   string
		line, column int
	}{
		{"empty", "", 1, 0},
		{"no rows", "name,value\n", 1, 0},
		{"key twice", "# a: 1\n# a: 2\nname,value\na,1\n", 2, 0},
		{"header", "# a: 1\nname,price\na,1\n", 2, 2},
		{"short header", "name\na\n", 1, 2},
		{"long header", "name,value,more\na,1,2\n", 1, 3},
		{"a column twice", "name,value,Name\na,1,b\n", 1, 3},
		{"few fields", "name,value\na,1\nb\n", 3, 2},
		{"many fields", "name,value\na,1,2\n", 2, 3},
		{"quote", "name,value\n\"a,1\n", 2, 0},
		{"late key", "name,value\na,1\n# b: 2,\n", 3, 0},
		{"an encoding that cannot be told", "name,value\na,1\nNacr\x8e,2\n", 3, 0},
		{"a control character", "name,value\na,1\nb\x1b[2J,2\n", 3, 0},
		{"a workbook", "PK\x03\x04", 1, 0},
		{"a web page", "<html>", 1, 0},
		{"not text", "name,value\na\x00,1\n", 2, 0},
		{"turned writing", "name,value\nb\u202eb,1\n", 2, 0},
		{"a line end of Unicode", "# a: b\u2028c\nname,value\nb,1\n", 1, 0},
		{"a line break within", "name,value\n\"b\nb\",1\n", 2, 1},
		{"two encodings", "name,value\né,1\n\xe9,1\n", 3, 0},
		{"quotes that never close", "name,value\n\"" + strings.Repeat("x\n", MaxRow/2+8), 524289, 0},
		{"a long line", "name,value\n" + strings.Repeat("x", MaxRow+1), 2, 0},
	} {
		_, err := Read("t.csv", strings.NewReader(c.text), Kind{Header: header})
		var e *Error
		if !errors.As(err, &e) || e.Line != c.line || e.Column != c.column || e.File != "t.csv" || e.Accept == "" {
			t.Errorf("%s: %v (%+v)", c.name, err, e)
		}
	}
	if _, err := Read("t.csv", strings.NewReader(strings.Repeat("x", MaxBytes+1)), Kind{Header: header}); err == nil {
		t.Error("a large file was read")
	}
}

func TestNumber(t *testing.T) {
	for _, bad := range []string{"", "x", "1,5,5", "1.5,5", "1,500", "12,000", "0x1p3", "NaN", "Inf", "-1", "11", "1e400"} {
		if v, err := Number(bad, 0, 10); err == nil {
			t.Errorf("%q is %v", bad, v)
		}
	}
	for text, want := range map[string]float64{"4,5": 4.5, "0,125": 0.125, " 7.25 ": 7.25, "1e0": 1} {
		if v, err := Number(text, 0, 10); err != nil || v != want {
			t.Errorf("%q is %v, %v", text, v, err)
		}
	}
	if a, b, err := Span("70-75", 0, 100); err != nil || a != 70 || b != 75 {
		t.Errorf("%v %v %v", a, b, err)
	}
	if a, b, err := Span("5", 0, 10); err != nil || a != 5 || b != 5 {
		t.Errorf("%v %v %v", a, b, err)
	}
	if _, _, err := Span("75-70", 0, 100); err == nil {
		t.Error("a falling range was read")
	}
}

// Where semicolons part the cells a comma is a decimal one, whatever follows.
func TestDecimalCommaOfThreeDigits(t *testing.T) {
	f, err := Read("t.csv", strings.NewReader("name;value\na;1,500\n"), Kind{Header: header})
	if err != nil {
		t.Fatal(err)
	}
	if v, err := Number(f.Rows[0].Fields[1], 0, 10); err != nil || v != 1.5 {
		t.Errorf("%v, %v", v, err)
	}
}

// A line of 400 MB is refused before it fills the memory.
func TestLongLineTakesNoMemory(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Read("t.csv", &endless{400 << 20}, Kind{MaxBytes: 1 << 30})
	runtime.ReadMemStats(&after)
	if took := after.TotalAlloc - before.TotalAlloc; err == nil || took > 16*MaxRow {
		t.Errorf("it took %d MB: %v", took>>20, err)
	}
}

type endless struct{ left int }

func (e *endless) Read(p []byte) (int, error) {
	if e.left -= len(p); e.left < 0 {
		return 0, io.EOF
	}
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}

func FuzzRead(f *testing.F) {
	f.Add("# title: x\nname,value\na,1\n")
	f.Add("\"# note: x, y\",\nname,value\n\"a\nb\",1\n")
	f.Fuzz(func(t *testing.T, s string) {
		got, err := Read("t.csv", strings.NewReader(s), Kind{Header: header})
		if err != nil {
			return
		}
		for _, r := range got.Rows {
			if len(r.Fields) != len(header) || r.Line < 1 {
				t.Errorf("%+v", r)
			}
		}
	})
}
