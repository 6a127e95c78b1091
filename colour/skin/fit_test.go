package skin

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"tawny/colour"
)

// Readings made from a known model, each its mean brought to its own colour,
// are rebuilt by a fit to them within the hold on the bumps.
func TestFitFindsAKnownModel(t *testing.T) {
	truth := (*standard())
	rng := rand.New(rand.NewPCG(11, 12))
	var made []person
	for len(made) < 300 {
		c := colour.Lab{L: 30 + 40*rng.Float64(), A: 6 + 8*rng.Float64(), B: 8 + 12*rng.Float64()}
		r, err := truth.Reflectance(c, colour.D65)
		if err != nil {
			t.Fatal(err)
		}
		made = append(made, person{Number: len(made), Reflectance: r, Last: colour.Bands - 1})
	}
	m, err := fitModel(made)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i := range made {
		r, err := m.Reflectance(made[i].Lab(), colour.D65)
		if err != nil {
			t.Fatal(err)
		}
		d := colour.RMS(&r, &made[i].Reflectance)
		if sum += d; d > 0.004 {
			t.Errorf("reading %d is off by %.4f", i, d)
		}
	}
	if mean := sum / float64(len(made)); mean > 0.0007 {
		t.Errorf("off by %.4f on average", mean)
	}
}

// Bands no reading reaches go on from the end as the others' do.
func TestUnmeasuredBands(t *testing.T) {
	var list []person
	for _, at := range []float64{-1, 0, 0.5, 1} {
		r := person{Last: colour.Bands - 1}
		for b := range r.Reflectance {
			r.Reflectance[b] = ratioBack(at + (0.02+0.01*at)*float64(b))
		}
		list = append(list, r)
	}
	short := list[1]
	short.First, short.Last = 2, 32
	for b := range short.Reflectance {
		short.Reflectance[b] = short.Reflectance[min(max(b, short.First), short.Last)]
	}
	y := logKS(append(list, short))
	for b, got := range y[4] {
		if d := got - y[1][b]; d > 1e-6 || d < -1e-6 {
			t.Errorf("%g nm: %.7f, measured to the end %.7f", colour.WavelengthNM(b), got, y[1][b])
		}
	}
}

// ratioBack finds R of ln K/S by halving.
func ratioBack(y float64) float64 {
	low, high := 1e-9, 1-1e-9
	for range 100 {
		if mid := (low + high) / 2; ratio(mid) > y {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func TestFitNeedsReadings(t *testing.T) {
	if _, err := fitModel(make([]person, 3)); err == nil {
		t.Error("three readings were accepted")
	}
}

const header = "record,group,doubtful,X,400,410,420,430,440,450,460,470,480,490,500,510,520,530,540,550,560,570,580,590,600,610,620,630,640,650,660,670,680,690,700\n"

func row(number, group, doubtful, value string) string {
	return number + "," + group + "," + doubtful + ",12.3" + strings.Repeat(","+value, 31) + "\n"
}

func TestRead(t *testing.T) {
	list, err := readPeople(strings.NewReader("# remark\n" + header + row("7", "A", "0", "0.4") + row("9", "A", "1", "0.03") + row("10", "B", "0", "0.4") + row("90", "B", "0", "0.4")))
	if err != nil || len(list) != 4 {
		t.Fatalf("%d readings, %v", len(list), err)
	}
	if list[0].Block != list[1].Block || list[1].Block == list[2].Block || list[2].Block == list[3].Block {
		t.Errorf("blocks %q, %q, %q, %q", list[0].Block, list[1].Block, list[2].Block, list[3].Block)
	}
	if !list[1].Doubtful || len(sound(list)) != 3 || list[0].First != 2 || list[0].Last != 32 || list[1].Reflectance[0] != 0.03 {
		t.Errorf("read as %+v", list[:2])
	}
	for name, text := range map[string]string{
		"number":    header + row("one", "A", "0", "0.4"),
		"dark":      header + row("1", "A", "0", "0"),
		"too light": header + row("1", "A", "0", "1.1"),
		"NaN":       header + row("1", "A", "0", "NaN"),
		"columns":   header + "1,A,0.4\n",
	} {
		if _, err := readPeople(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), "line ") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, text := range []string{"", "case,400,410\n", "record,group\n"} {
		if _, err := readPeople(strings.NewReader(text)); !errors.Is(err, errOther) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(header + row("1", "A", "0", "0.4"))
	f.Add("subject,380\n")
	f.Add("record,0,0\n0\"") // a row that ends before its first field does
	f.Fuzz(func(t *testing.T, text string) {
		list, err := readPeople(strings.NewReader(text))
		if err != nil {
			return
		}
		for i := range list {
			for _, r := range list[i].Reflectance {
				if !(r > 0 && r < 1) {
					t.Fatalf("reflectance %g was let in", r)
				}
			}
		}
	})
}
