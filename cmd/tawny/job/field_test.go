package job

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// Every number of every job is refused outside its row's range, and so is what
// is no number, by an error that names the field.
func TestNumbersKeepToTheirRows(t *testing.T) {
	ran := 0
	for _, j := range Jobs {
		if j.New == nil {
			continue
		}
		for _, f := range NewDoc(j).Fields {
			wrong := []string{"x", "NaN", "Inf", "", fmt.Sprint(f.Low - 1)}
			switch f.To.(type) {
			case *float64, **float64, *[]float64, *int, *int64:
			default:
				continue
			}
			if f.Above {
				wrong = append(wrong, fmt.Sprint(f.Low))
			}
			if f.High != 0 {
				wrong = append(wrong, fmt.Sprint(f.High+1))
			}
			for _, text := range wrong {
				ran++
				var fault *FieldError
				if err := NewDoc(j).Put(f.Name, text); !errors.As(err, &fault) || fault.Field != f.Name || !errors.Is(err, ErrInput) {
					t.Errorf("%s --%s %q: %v", j.Name, f.Name, text, err)
				}
			}
		}
	}
	taken := NewDoc(Find("book weigh"))
	if err := taken.Put("made", "none"); err != nil {
		t.Fatal(err)
	}
	if data, err := taken.MarshalJSON(); err != nil || NewDoc(taken.Job).Read(data) != nil {
		t.Errorf("what takes a number back is not read again: %s %v", data, err)
	}
	if ran < 500 {
		t.Errorf("only %d numbers were tried", ran)
	}
}

// What a maker may write for a number, and what the answer is where not.
func TestNumbersAsWritten(t *testing.T) {
	for _, c := range []struct {
		job, field, text string
		want             any
		says             string
	}{
		{"match", "load", "4.5", 4.5, ""},
		{"match", "load", "4,5", 4.5, ""},
		{"match", "load", "1,234.5", nil, "more than 0 and at most 30 % w/w is accepted"},
		{"match", "load", "4 %", 4.0, ""},
		{"match", "load", "4,5 % w/w", 4.5, ""},
		{"match", "load", "4 g", nil, "which is not a number"},
		{"match", "load", "%", nil, "which is not a number"},
		{"drawer add", "grams", " 25 g ", 25.0, ""},
		{"match", "tilt", "9 degrees", 9.0, ""},
		{"match", "load", "0", nil, "more than 0"},
		{"match", "cost-max", "0", nil, "more than 0"},
		{"match", "balance", "100", nil, "0.00001 to 10 g is accepted"},
		{"match", "grams", "0.001", nil, "1 to 1000000 g is accepted"},
		{"match", "repeat", "-1", nil, "at most 20"},
		{"match", "apply-spread", "100", nil, "at most 99 %"},
		{"match", "max", "5", nil, "1 to 4"},
		{"match", "max", "2.5", nil, "a whole number"},
		{"drawer add", "price", "-1", nil, "0 to 1000000"},
		{"batch", "overfill", "0", 0.0, ""},
	} {
		d := NewDoc(Find(c.job))
		err := d.Put(c.field, c.text)
		if c.says != "" {
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s --%s %s: %v, want %q", c.job, c.field, c.text, err, c.says)
			}
			continue
		}
		got := d.Field(c.field).Value()
		if p, ok := got.(*float64); ok && p != nil {
			got = *p
		}
		if err != nil || got != c.want {
			t.Errorf("%s --%s %s: %v, %v", c.job, c.field, c.text, got, err)
		}
	}
}

// Rules across fields are told before anything is read or worked out, each with
// the field it is about.
func TestRulesAcrossFields(t *testing.T) {
	for _, c := range []struct{ job, said, field, says string }{
		{"match", "load=3 load-max=5", "load", "and {load-max} are both given"},
		{"match", "load-min=3", "load-min", "needs {load-max}"},
		{"batch", "no-powder=true part=bronze=1", "no-powder", "and {part} are both given"},
		{"card", "flat=true rig=lamp", "rig", "{flat} draws flat colours"},
		{"mend", "choose=1", "choose", "give {batch}"},
		{"match", "load-min=5 load-max=3", "load-min", "over {load-max} 3 %"},
		{"batch", "containers=3", "containers", "give {ml} too"},
		{"batch", "ml=30", "ml", "give {containers} too"},
		{"book again", "batch=1 grams=3 containers=4 ml=5", "grams", "and {containers} are both given"},
		{"batch", "skin=tan containers=3 ml=1e-9", "ml", "3 containers of it would hold 3e-09 ml in all"},
		{"chart", "part=bronze=1 rank=2", "rank", "{part} states one"},
		{"card", "tile=a4 kind=loads", "tile", "{kind} is loads"},
		{"card", "on=tan", "on", "is for {kind} skins"},
		{"fit", "file=none.csv drawer=x.csv", "drawer", "which {add} asks for"},
		{"fit", "file=none.csv replace=true", "replace", "which {add} asks for"},
		{"fit", "file=none.csv anyway=true", "anyway", "which {add} asks for"},
	} {
		d := NewDoc(Find(c.job))
		for _, said := range strings.Fields(c.said) {
			name, text, _ := strings.Cut(said, "=")
			if err := d.Put(name, text); err != nil {
				t.Fatal(err)
			}
		}
		_, err := d.Do(t.Context(), desk)
		var fault *FieldError
		if !errors.As(err, &fault) || fault.Field != c.field || !strings.Contains(fault.Says, c.says) {
			t.Errorf("%s %s: %v", c.job, c.said, err)
		}
	}
}

// All that is wrong with a request is told at once, and the field of the first.
func TestFaultsAreToldTogether(t *testing.T) {
	d := NewDoc(Find("match"))
	for name, text := range map[string]string{"load": "3", "load-max": "5", "ml": "30"} {
		if err := d.Put(name, text); err != nil {
			t.Fatal(err)
		}
	}
	_, err := d.Do(t.Context(), desk)
	if faults, _ := err.(Faults); len(faults) != 2 || FieldOf(err) != "load" || FieldOf(faults[1]) != "ml" || !errors.Is(err, ErrInput) {
		t.Errorf("%v", err)
	}
	_, err = Add(desk, AddInput{INCI: "Mica", CI: "red", Size: "60-10", Areas: "nose", Paid: 9})
	if faults, _ := err.(Faults); len(faults) != 6 {
		t.Errorf("%d: %v", len(faults), err)
	}
	err = NewDoc(Find("match")).Read([]byte(`{"load": "x", "ml": -1, "nothing": 2}`))
	if faults, _ := err.(Faults); len(faults) != 3 {
		t.Errorf("%v", err)
	}
}

// A title of 200 letters is taken, whatever its script, and no longer one.
func TestTitlesAreBounded(t *testing.T) {
	for _, name := range []string{"card", "batch", "book save"} {
		d := NewDoc(Find(name))
		if err := d.Put("title", strings.Repeat("é", 200)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := d.Put("title", strings.Repeat("é", 201)); !errors.Is(err, ErrInput) || !strings.Contains(fmt.Sprint(err), "201 letters; at most 200") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
