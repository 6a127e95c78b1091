package job

import (
	"fmt"
	"strconv"
	"strings"

	"tawny/colour/table"
)

// value is what a field holds and how it is put there.
type value struct {
	held  any
	empty bool // it is its type's zero value
	put   func(text string, first bool) error
}

func (f *Field) value() value {
	switch to := f.To.(type) {
	case *string:
		return one(to, f.text)
	case **string:
		return optional(to, f.text)
	case *[]string:
		return several(f, to, f.text, f.Commas)
	case *bool:
		return one(to, f.truth)
	case *float64:
		return one(to, f.number)
	case **float64:
		v := optional(to, f.number)
		if f.None && *to != nil && **to == 0 {
			v.held = "none" // for 0 is outside its range
		}
		return v
	case *[]float64:
		return several(f, to, f.number, true)
	case *int:
		return one(to, whole[int](f))
	case *int64:
		return one(to, whole[int64](f))
	}
	panic(fmt.Sprintf("field %s points to a %T", f.Name, f.To)) // a fault of the row itself
}

// Value is what a field holds, as the document writes it.
func (f *Field) Value() any { return f.value().held }

func one[T comparable](to *T, read func(string) (T, error)) value {
	return value{*to, *to == *new(T), func(text string, _ bool) (err error) {
		*to, err = read(text)
		return err
	}}
}

func optional[T any](to **T, read func(string) (T, error)) value {
	return value{*to, *to == nil, func(text string, _ bool) error {
		x, err := read(text)
		if err == nil {
			*to = &x
		}
		return err
	}}
}

// several is a list, which grows by what is put after the first.
func several[T any](f *Field, to *[]T, read func(string) (T, error), commas bool) value {
	return value{*to, len(*to) == 0, func(text string, first bool) error {
		if first {
			*to = nil
		}
		items := []string{text}
		if commas {
			items = strings.Split(text, ",")
		}
		if len(*to)+len(items) > maxList {
			return faultf(f.Name, "is given over %d times; at most %d is accepted", maxList, maxList)
		}
		for _, item := range items {
			x, err := read(item)
			if err != nil {
				return err
			}
			*to = append(*to, x)
		}
		return nil
	}}
}

func (f *Field) text(text string) (string, error) { return text, nil }

func (f *Field) truth(text string) (bool, error) {
	yes, err := strconv.ParseBool(text)
	if err != nil {
		err = faultf(f.Name, "is %q; true or false is accepted", text)
	}
	return yes, err
}

// number reads a number; a comma is understood as its decimal point, and its unit
// may follow, or a % what is told as a factor.
func (f *Field) number(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if f.None && text == "none" {
		return 0, nil
	}
	percent, inPercent := strings.CutSuffix(text, "%")
	inPercent = inPercent && f.Unit == times
	x, err := table.Finite(f.bare(text))
	if inPercent {
		x, err = table.Finite(percent)
		x /= 100
	}
	if err != nil {
		return 0, faultf(f.Name, "is %q, which %v; %s is accepted", text, err, f.range_())
	}
	if f.outside(x) {
		return 0, faultf(f.Name, "is %s; %s is accepted", text, f.range_())
	}
	return x, nil
}

// bare takes the field's unit off a number, of "% w/w" the first word too.
func (f *Field) bare(text string) string {
	if number, found := strings.CutSuffix(text, f.Unit); found {
		return number
	}
	short, _, _ := strings.Cut(f.Unit, " ")
	return strings.TrimSuffix(text, short)
}

func whole[T int | int64](f *Field) func(string) (T, error) {
	return func(text string) (T, error) {
		n, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
		if err != nil || f.outside(float64(n)) {
			return 0, faultf(f.Name, "is %s; a whole number, %s, is accepted", strings.TrimSpace(text), f.range_())
		}
		return T(n), nil
	}
}

// outside tells whether a number is not in the field's range.
func (f *Field) outside(x float64) bool {
	return x < f.Low || f.Above && x == f.Low || f.High != 0 && x > f.High
}
