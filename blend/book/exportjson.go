package book

import (
	"bufio"
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
)

// ExportJSON writes the book as one JSON document, a record a line.
func (b *Book) ExportJSON(ctx context.Context, w io.Writer, o ExportOptions) (Exported, error) {
	return b.export(ctx, o, newJSONWriter(w))
}

// jsonWriter writes
//
//	{"format": …, "tables": {"powder": [
//	{"id":1,…},
//	…], …}}
type jsonWriter struct {
	w      *bufio.Writer
	tables int // begun
	rows   int // of the present table
	line   []byte
}

func newJSONWriter(w io.Writer) *jsonWriter { return &jsonWriter{w: bufio.NewWriter(w)} }

func (j *jsonWriter) head(h *heading) error {
	fmt.Fprintf(j.w, "{\n\"format\": %s,\n\"format_version\": %d,\n\"schema\": %d,\n\"clients\": %s,\n\"says\": %s,\n\"last_ids\": {",
		jsonString(formatName), formatVersion, h.schema, jsonString(h.clients), jsonString(h.says()))
	for i, t := range numbered() {
		if i > 0 {
			j.w.WriteString(", ")
		}
		fmt.Fprintf(j.w, "%s: %d", jsonString(t.name), h.lastIDs[t.name])
	}
	_, err := j.w.WriteString("},\n\"tables\": {")
	return err
}

func (j *jsonWriter) begin(t *table) error {
	if j.tables > 0 {
		j.w.WriteString("],")
	}
	j.tables, j.rows = j.tables+1, 0
	_, err := fmt.Fprintf(j.w, "\n%s: [", jsonString(t.name))
	return err
}

func (j *jsonWriter) row(t *table, row []any) error {
	line := append(j.line[:0], ',', '\n', '{')
	if j.rows == 0 {
		line = append(line[:0], '\n', '{')
	}
	j.rows++
	for i := range t.columns {
		if i > 0 {
			line = append(line, ',')
		}
		line = append(append(line, jsonString(t.columns[i].name)...), ':')
		line = appendJSON(line, &t.columns[i], row[i])
	}
	j.line = append(line, '}')
	_, err := j.w.Write(j.line)
	return err
}

func (j *jsonWriter) end() error {
	j.w.WriteString("]\n}\n}\n")
	return j.w.Flush() // and with it any error of the writes before
}

func appendJSON(line []byte, c *column, v any) []byte {
	switch v := v.(type) {
	case nil:
		return append(line, "null"...)
	case int64:
		return strconv.AppendInt(line, v, 10)
	case float64:
		return appendNumber(line, v)
	case []byte:
		return append(base64.StdEncoding.AppendEncode(append(line, '"'), v), '"')
	case string:
		if c.kind == document || c.kind == reflectance {
			return append(line, v...)
		}
		return append(line, jsonString(v)...)
	}
	return append(line, "null"...) // SQLite has no other kinds
}

// appendNumber writes the fewest digits that read back as the same number.
func appendNumber(line []byte, x float64) []byte { return strconv.AppendFloat(line, x, 'g', -1, 64) }

func jsonString(s string) string {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string always encodes
	return string(bytes.TrimSuffix(out.Bytes(), []byte("\n")))
}
