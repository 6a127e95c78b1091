package book

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"unicode/utf8"
)

// maxRecordBytes is the most JSON one record may take: a photo in base64, or
// two documents, with room.
const maxRecordBytes = 24 << 20

// ImportJSON imports a JSON export into an empty book.
func (b *Book) ImportJSON(ctx context.Context, r io.Reader) (Imported, error) {
	return b.importFrom(ctx, func(s sink) error { return parseJSON(r, s, maxRecordBytes) })
}

// jsonReader reads an export a record at a time.
type jsonReader struct {
	d     *json.Decoder
	size  *budget
	sink  sink
	where string // the last thing read, for errors of form
}

// parseJSON reads an export whose records each take at most maxBytes.
func parseJSON(r io.Reader, s sink, maxBytes int) error {
	size := &budget{r: r, most: maxBytes, left: maxBytes}
	j := &jsonReader{d: json.NewDecoder(size), size: size, sink: s, where: "the beginning of the export"}
	if err := j.document(); err != nil {
		var syntax *json.SyntaxError
		var kind *json.UnmarshalTypeError
		if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			return fmt.Errorf("near %s: the export ends too soon: part of it is missing", j.where)
		}
		if errors.As(err, &syntax) || errors.As(err, &kind) {
			return fmt.Errorf("near %s: not an export in JSON (%v)", j.where, err)
		}
		return err
	}
	return nil
}

func (j *jsonReader) document() error {
	if err := j.delim('{'); err != nil {
		return err
	}
	var h heading
	var format, says string
	var version json.Number
	of := map[string]any{"format": &format, "format_version": &version, "schema": &h.schema, "clients": &h.clients, "says": &says, "last_ids": &h.lastIDs}
	seen := map[string]bool{}
	for j.d.More() {
		key, err := j.key(seen)
		if err != nil {
			return err
		}
		switch into := of[key]; {
		case into != nil:
			err = j.d.Decode(into)
		case key == "tables":
			for _, need := range []string{"format", "format_version", "schema", "clients"} {
				if !seen[need] {
					return &FieldError{"the heading of the export", need, "missing; it comes before the tables"}
				}
			}
			if err = h.check(format, version.String()); err == nil {
				err = j.sink.head(&h)
			}
			if err == nil {
				err = j.tables()
			}
		default:
			err = &FieldError{"the heading of the export", key, "no export has it"}
		}
		if err != nil {
			return err
		}
	}
	if !seen["tables"] {
		return &FieldError{"the export", "tables", "missing"}
	}
	if err := j.delim('}'); err != nil {
		return err
	}
	j.where = "the end of the export"
	if _, err := j.d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("near the end of the export: something follows it")
	}
	return nil
}

func (j *jsonReader) tables() error {
	if err := j.delim('{'); err != nil {
		return err
	}
	seen := map[string]bool{}
	for j.d.More() {
		name, err := j.key(seen)
		if err != nil {
			return err
		}
		t := tableNamed(name)
		if t == nil {
			return &FieldError{"tables", name, "there is no such table"}
		}
		if err := j.delim('['); err != nil {
			return err
		}
		for n := 1; j.d.More(); n++ {
			j.where = fmt.Sprintf("%s record %d", name, n)
			if err := j.record(t); err != nil {
				return err
			}
		}
		if err := j.delim(']'); err != nil {
			return err
		}
	}
	return j.delim('}')
}

func (j *jsonReader) record(t *table) error {
	var fields map[string]json.RawMessage
	j.size.refill()
	if err := j.d.Decode(&fields); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if t.column(name) < 0 {
			return &FieldError{j.where, name, t.unknown(name)}
		}
	}
	return t.take(j.sink, j.where, func(_ []any, c *column) (any, error) {
		raw, ok := fields[c.name]
		if !ok {
			return c.left(), nil
		}
		return fromJSON(c, raw)
	})
}

// fromJSON turns a value of an export back into a column's.
func fromJSON(c *column, raw json.RawMessage) (any, error) {
	if string(raw) == "null" {
		return nil, nil
	}
	if !utf8.Valid(raw) {
		return nil, errors.New("not UTF-8 text")
	}
	switch c.kind {
	case integer, number, document, reflectance:
		return c.parse(string(raw))
	}
	var s string
	if json.Unmarshal(raw, &s) != nil {
		return nil, c.wrong(string(raw))
	}
	if c.kind == picture {
		data, err := base64.StdEncoding.Strict().DecodeString(s)
		if err != nil {
			return nil, fmt.Errorf("not base64 (%v); give %s, in base64", err, c.wants())
		}
		return data, nil
	}
	return s, nil
}

// delim reads one brace or bracket.
func (j *jsonReader) delim(want json.Delim) error {
	j.size.refill()
	got, err := j.d.Token()
	if err != nil {
		return err
	}
	if got != want {
		return fmt.Errorf("near %s: not an export in JSON (%v where %v belongs)", j.where, got, want)
	}
	return nil
}

// key reads the next key of an object and refuses one that was there before.
func (j *jsonReader) key(seen map[string]bool) (string, error) {
	j.size.refill()
	got, err := j.d.Token()
	if err != nil {
		return "", err
	}
	key, _ := got.(string) // the decoder gives nothing else here
	j.where = key
	if seen[key] {
		return "", &FieldError{"the export", key, "given twice"}
	}
	seen[key] = true
	return key, nil
}

// budget is a reader that gives only so much between two refills, so that one
// endless value cannot fill the memory.
type budget struct {
	r          io.Reader
	most, left int
}

func (b *budget) refill() { b.left = b.most }

func (b *budget) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, fmt.Errorf("one record is longer than %d MiB", b.most>>20)
	}
	n, err := b.r.Read(p[:min(len(p), b.left)])
	b.left -= n
	return n, err
}
