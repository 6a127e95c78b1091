package job

import (
	"bytes"
	"context"
	"strings"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/store"
)

var drawerRemoveJob = &Job{
	Name:  "drawer remove",
	Args:  "POWDER",
	Short: "Take a powder out of your drawer",
	Long: `Takes a powder's row out of a drawer's file; all other lines stay as they are, and
so do the file of its spectrum, where it has one, and all that the book has of it.
With the last powder the file goes. Without --yes it only says what would go.`,
	Example: "  tawny drawer add --like gold --name 'gold smear' --drawer drawer.csv\n" +
		"  tawny drawer add --like bronze --name 'old bronze' --drawer drawer.csv\n" +
		"  tawny drawer remove 'gold smear' --drawer drawer.csv --yes",
	New: func() Task {
		var powder, drawer string
		var yes bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			r := &DrawerRemoved{}
			return r, env.inDrawer(drawer, func(env *Env, drawer string) error { return r.take(env, drawer, powder, yes) })
		}, words(Field{Name: "powder", Words: "which powder? its name is accepted", Arg: true, Lists: "powder", To: &powder}),
			Group{Title: "Drawer", Fields: []Field{
				drawerField(&drawer, "your drawer, a CSV file"),
				yesField(&yes),
			}})
	},
}

// DrawerRemoved is what was taken out.
type DrawerRemoved struct {
	Drawer   string `json:"drawer"`
	Powder   string `json:"powder"`
	Row      string `json:"row"`
	Spectrum string `json:"spectrum,omitempty"` // its file, which stays
}

// Show says what went.
func (r *DrawerRemoved) Show(s *Screen) {
	s.line("Took %s out of %s.", r.Powder, r.Drawer)
	if r.Spectrum != "" {
		s.line("Its spectrum stays beside it: %s", r.Spectrum)
	}
	s.line("Its row was  %s", r.Row)
}

func (r *DrawerRemoved) take(env *Env, drawer, powder string, yes bool) error {
	if drawer == "" {
		return inputf("nothing is taken out of the built-in drawer; {drawer} names your own, and {without} leaves a powder out of a match")
	}
	if err := env.mayWrite(drawer); err != nil {
		return err
	}
	unlock, err := store.Lock(drawer)
	if err != nil {
		return err
	}
	defer unlock()
	p, err := env.OpenDrawer(drawer, film.DefaultIndex)
	if err != nil {
		return err
	}
	g, err := p.Find(powder)
	if err != nil {
		return input(err)
	}
	file, _, err := env.drawerText(drawer)
	if err != nil {
		return err
	}
	out, err := palette.TakeRow(file, g.Name)
	if err != nil {
		return input(err)
	}
	r.Drawer, r.Powder, r.Spectrum, r.Row = drawer, g.Name, g.Spectrum, strings.Join(g.Row(), ",")
	last := len(p.Pigments) == 1
	if _, err := palette.Parse(drawer, bytes.NewReader(out), env.beside(drawer)); err != nil && !last {
		return input(err)
	}
	switch {
	case !yes:
		return inputf("nothing is done yet. {yes} takes %s out of %s for good: %s", g.Name, drawer, r.Row)
	case last:
		return env.remove(drawer)
	}
	return env.write(store.File{Path: drawer, Data: out})
}
