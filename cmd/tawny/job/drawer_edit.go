package job

import (
	"context"
	"strings"

	"tawny/blend/film"
	"tawny/blend/jar"
	"tawny/colour/table"
)

var drawerEditJob = &Job{
	Name:  "drawer edit",
	Args:  "POWDER",
	Short: "Put right what your drawer says of a powder",
	Long: `Writes what a supplier says of a powder over what was guessed, or taken over from
one that it is like. What is not given stays as it was, and so does its colour; with
nothing given the drawer's own words are told.`,
	Example: "  tawny drawer add --like gold --name 'gold from the fair' --drawer fair.csv\n" +
		"  tawny drawer edit 'gold from the fair' --density 3.1 --oil 62 --drawer fair.csv",
	New: func() Task {
		var powder, drawer string
		said := []Field{
			{Name: "density", Words: "density of its solid, g/cm³", Unit: "g/cm³", To: new(*float64)},
			{Name: "bulk", Words: "density loose in the spoon, g/ml", Unit: "g/ml", To: new(*float64)},
			{Name: "oil", Words: "oil absorption, g/100 g", Unit: "g/100 g", To: new(*float64)},
			{Name: "inci", Words: "its INCI list with shares: Mica=60;Titanium Dioxide=40", To: new(string)},
			{Name: "ci", Words: "its colour index numbers, all of them: '77019, 77891, 77491'", To: new(string)},
			{Name: "areas", Words: "where its label allows it: body, eyes, lips", Lists: "area", To: new(string)},
			{Name: "lot", Words: "its lot", To: new(string)},
			{Name: "grams", Words: "grams on hand", Unit: "g", To: new(*float64)},
			{Name: "price", Words: "what a gram costs", To: new(*float64)},
		}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			r := &DrawerEdited{said: said, Says: map[string]string{}}
			return r, env.inDrawer(drawer, func(env *Env, drawer string) error { return r.edit(env, drawer, powder) })
		}, words(Field{Name: "powder", Words: "which powder? its name is accepted", Arg: true, Lists: "powder", To: &powder}),
			Group{Title: "Powder", Fields: said},
			Group{Title: "Drawer", Fields: []Field{drawerField(&drawer, "your drawer, a CSV file")}})
	},
}

// columnOf are the columns of a drawer's file for the fields that put one right.
var columnOf = map[string]string{
	"density": "density_g_cm3", "bulk": "bulk_g_ml", "oil": "oil_absorption_g_100g",
	"inci": "inci", "ci": "ci", "areas": "areas", "lot": "lot", "grams": "stock_g", "price": "price_per_g",
}

// DrawerEdited is what a drawer says of a powder.
type DrawerEdited struct {
	Drawer  string            `json:"drawer"`
	Powder  string            `json:"powder"`
	Says    map[string]string `json:"says"` // by field, as the drawer's file has it
	Written bool              `json:"written"`

	said []Field
}

// Show lists what the drawer says.
func (r *DrawerEdited) Show(s *Screen) {
	s.line("%s, by %s", r.Powder, r.Drawer)
	for _, f := range r.said {
		s.line("  %-8s %s", f.Name, orElse(r.Says[f.Name], "not given"))
	}
	if r.Written {
		s.line("Written.")
	}
}

func (r *DrawerEdited) edit(env *Env, drawer, powder string) error {
	if drawer == "" {
		return inputf("the built-in drawer stays as it is; {drawer} names your own")
	}
	d, err := env.OpenDrawer(drawer, film.DefaultIndex)
	if err != nil {
		return err
	}
	g, err := d.Find(powder)
	if err != nil {
		return input(err)
	}
	p := *g
	for _, f := range r.said {
		text := ""
		switch x := f.Value().(type) {
		case string:
			text = x
		case *float64:
			if x != nil {
				text = trimNumber(*x)
			}
		}
		if text == "" {
			continue
		}
		if f.Name == "ci" {
			label, err := jar.Parse("", text)
			if err != nil {
				return of("ci", input(err))
			}
			text = strings.Join(label.CI, ";")
		}
		if fault := p.Set(columnOf[f.Name], text); fault != nil {
			return faultf(f.Name, "is %q: %s; %s is accepted", table.Clip(text), fault.Problem, orElse(fault.Accept, "another"))
		}
		r.Written = true
	}
	if r.Written {
		if _, _, err := putPowder(env, drawer, &p, nil, true); err != nil {
			return err
		}
	}
	r.Drawer, r.Powder = drawer, p.Name
	for field, column := range columnOf {
		r.Says[field] = p.Cell(column)
	}
	return nil
}
