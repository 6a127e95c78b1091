package table

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/unicode/norm"
)

// MaxBytes is the largest file read unless a kind says otherwise: a drawer of
// 500 powders is about 100 kB.
const MaxBytes = 4 << 20

// Text reads a whole text file of at most so many bytes: decoded, composed, its
// line ends "\n", without control characters.
func Text(name string, r io.Reader, most int64) (string, error) {
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	if int64(len(data)) > most {
		return "", &Error{File: name, Problem: "the file is over " + sizeWords(most), Accept: "a file of at most that"}
	}
	return decode(name, data)
}

func sizeWords(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d kB", n>>10)
}

const savedAsText = "a CSV file saved as UTF-8 text"

func decode(name string, data []byte) (string, error) {
	fault := func(at int, problem string) error {
		return &Error{File: name, Line: 1 + bytes.Count(data[:at], []byte("\n")), Problem: problem, Accept: savedAsText}
	}
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return "", fault(0, "a spreadsheet workbook or an archive")
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
		if err != nil {
			return "", fault(0, "broken UTF-16")
		}
		data = text
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data = data[3:]
	}
	if at := bytes.IndexByte(data, 0); at >= 0 {
		return "", fault(at, "not text")
	}
	if !utf8.Valid(data) {
		if at := unsure(data); at >= 0 {
			return "", fault(at, fmt.Sprintf("a letter (byte %#x) in an encoding that cannot be told", data[at]))
		}
		text, err := charmap.Windows1252.NewDecoder().Bytes(data)
		if err != nil {
			return "", fault(0, "not text")
		}
		data = text
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	if strings.HasPrefix(strings.TrimSpace(text), "<") {
		return "", fault(0, "XML or a web page")
	}
	if at, r := unprintable(text); at >= 0 {
		return "", &Error{File: name, Line: 1 + strings.Count(text[:at], "\n"), Problem: fmt.Sprintf("the character %U, which cannot be printed", r), Accept: savedAsText}
	}
	return norm.NFC.String(text), nil
}

// unprintable finds the first character that is no text, or -1.
func unprintable(text string) (at int, r rune) {
	for at, r := range text {
		if r < ' ' && r != '\t' && r != '\n' || r >= 0x7f && r < 0xa0 || r == '\ufffd' {
			return at, r
		}
	}
	return -1, 0
}

// Clean is the gate of any other text, such as a flag's or a form's: it brings
// it to the composed form and refuses what cannot be printed.
func Clean(text string) (string, error) {
	if at, r := unprintable(text); at >= 0 {
		return "", fmt.Errorf("it has the character %U in it, which cannot be printed", r)
	}
	return norm.NFC.String(text), nil
}

// unsure returns the place of the first byte that may stand for one letter or
// for another, or -1. From 0xa0 on Windows-1252 and Latin-1 agree; below, an é
// of an old Macintosh would come out as a Ž.
func unsure(data []byte) int {
	for i, b := range data {
		if b >= 0x80 && b < 0xa0 {
			return i
		}
	}
	return -1
}
