package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tawny/blend/film"
	"tawny/swatches"
)

var cardJob = &Job{
	Name:  "card",
	Short: "Draw swatch cards of a blend on skin",
	Long: `Draws a card into --out (default the current folder): bare skin beside the
blend rubbed in sheer, smoothed on and laid on full, its numbers, powders and
grams. The blend is given with --part, or matched first, or with --batch it is what is
in a batch of the book, as weighed and mended, with its grams, on the skin it was made
for.

Kinds: card; arm, just the picture (arm.png: bare skin left, worn right; never --flat); or a
board of loads, coverages, lights (daylight and stage) or skins (--on, once for
each). What does not fit a card stands on its back (card-2.png), with how to wear
it, what is in it and what to mind; a board of several rows is drawn longer.
--for client leaves recipe and figures out. Nothing for a client is written of what
may not be worn yet, a STOP or a FAULT of its batch sheet: not made for the eyelids,
say, or without a preservative. The maker's card says so instead of how to wear it.
A list of which a label says DRAFT is called one.
--tile a4 or letter lays a card of each of the best --keep blends out with cut
marks, four to a page, or two where they say more: pages of one PDF, or cards.png,
cards-2.png and so on.`,
	Example: "  tawny card --skin tan --part 'pale gold=2' --part bronze=1 --grams 200 --out cards\n  tawny card --demo --kind skins --on light --on tan --on dark --out demo\n  tawny card --demo --tile a4 --format pdf --out demo",
	New: func() Task {
		in := &Input{}
		q := &cardRequest{picture: &picture{}, kind: "card"}
		return in.asking(func(ctx context.Context, env *Env, asked Input) (Result, error) {
			r, err := q.draw(ctx, env, asked)
			return quiet{r}, err
		}, in.matchGroups(Group{Title: "Picture", Fields: append(q.fields(in),
			q.forField(),
			Field{Name: "batch", Words: "a batch's number or code in the book, instead of what asks for a blend; skin and title may be given anew", Lists: "batch", To: &q.batch},
			Field{Name: "kind", Words: strings.Join(cardKinds, ", ") + " (default card)", Choices: cardKinds, To: &q.kind},
			Field{Name: "size", Words: "for kind arm: pixels, such as 900x400 (default 1200x900)", To: &q.size},
			Field{Name: "own-colour", Words: "for kind arm: the light in its own colour, as before eyes are used to it", To: &q.ownColour},
			Field{Name: "tile", Words: "several cards to a page with cut marks: a4 or letter", Choices: []string{"a4", "letter"}, To: &q.tile},
			Field{Name: "loads", Words: "for kind loads: the loads in per cent, such as 1,2,4", Unit: "% w/w", High: film.MaxLoad, Above: true, To: &q.loads},
			onField(&q.skins, "for kind skins: a skin; repeatable"),
			outField("."),
		), Check: func(given func(string) bool) error { return q.check(in, given) }})...)
	},
}

// cardKinds are a card, its picture alone, and the boards: one blend at several
// loads, coverages or lights, or the best blends on several skins.
var cardKinds = []string{"card", "arm", "loads", "coverages", "lights", "skins"}

// cardRequest is what a card asks for.
type cardRequest struct {
	*picture
	kind, tile string
	batch      string // its number or code in the book
	size       string
	width      int // pixels, of the size
	height     int
	ownColour  bool
	loads      []float64
	skins      []string
}

// check refuses what would be left unused.
func (q *cardRequest) check(in *Input, set func(string) bool) error {
	switch {
	case q.tile != "" && q.kind != "card":
		return faultf("tile", "lays out cards and {kind} is %s; one of the two is accepted", q.kind)
	case q.audience == "client" && q.kind != "card" && q.kind != "skins":
		return faultf("for", "client is for {kind} card or skins; {kind} is %s", q.kind)
	case q.tile != "" && (q.wide || q.paperIs != ""):
		return faultf("tile", "lays out upright cards on its own paper; leave {wide} and {paper} away")
	case q.tile != "" && len(in.Parts) > 0:
		return faultf("tile", "lays out matched blends; leave {part} away")
	case q.batch != "" && (q.tile != "" || q.kind == "skins"):
		return faultf("batch", "is one blend on one skin; leave {tile} and {kind} skins away")
	case q.tile != "" && set("rank"):
		return faultf("tile", "lays out every blend kept; leave {rank} away")
	case q.kind == "skins" && set("rank"):
		return faultf("kind", "skins draws the best blend for each skin; leave {rank} away")
	case len(q.loads) > swatches.MaxLooks:
		return faultf("loads", "are %d; 1 to %d fit a board", len(q.loads), swatches.MaxLooks)
	case q.kind == "arm" && (q.format != "png" || q.wide || q.paperIs != "" || q.flat || set("dpi")):
		return faultf("kind", "arm is a PNG of {size} pixels; leave {format}, {paper}, {wide}, {flat} and {dpi} away")
	}
	for _, of := range []struct{ field, kind string }{{"on", "skins"}, {"loads", "loads"}, {"own-colour", "arm"}, {"size", "arm"}} {
		if set(of.field) && q.kind != of.kind {
			return faultf(of.field, "is for {kind} %s; {kind} is %s", of.kind, q.kind)
		}
	}
	return q.pixels()
}

// pixels reads the size of an arm's picture.
func (q *cardRequest) pixels() (err error) {
	q.width, q.height = 1200, 900
	if q.size == "" {
		return nil
	}
	wide, high, ok := strings.Cut(strings.ToLower(q.size), "x")
	q.width, err = strconv.Atoi(strings.TrimSpace(wide))
	if ok && err == nil {
		q.height, err = strconv.Atoi(strings.TrimSpace(high))
	}
	if !ok || err != nil || min(q.width, q.height) < 30 || max(q.width, q.height) > 6000 {
		return faultf("size", "is %q; pixels from 30x30 to 6000x6000 are accepted, such as 900x400", q.size)
	}
	return nil
}

// draw draws what is asked for and delivers it, and returns what it is of.
func (q *cardRequest) draw(ctx context.Context, env *Env, in Input) (Result, error) {
	o := q.options()
	if q.kind == "skins" {
		b, all, err := SkinsBoard(ctx, in, q.skins, o)
		if err == nil {
			err = env.warnToMend(all.Skins...)
		}
		if err != nil {
			return nil, err
		}
		return all, q.send(env, b)
	}
	blend, r, err := q.blend(ctx, env, in)
	if err != nil {
		return nil, err
	}
	if q.kind != "arm" && q.tile == "" && q.audience != "client" && q.batch == "" { // it tells what to weigh
		if blend, err = env.toWeigh(ctx, blend); err != nil {
			return nil, err
		}
		if _, stated := r.(*BlendResult); stated {
			r = blend
		}
	}
	if _, why := pictured(blend.Blend.parts); why != "" && q.kind == "arm" {
		return nil, inputf("%s", why)
	}
	if q.audience != "client" { // to whom nothing of it is given
		if err := env.warnToMend(blend); err != nil {
			return nil, err
		}
	}
	var c *swatches.Card
	switch {
	case q.kind == "arm":
		return r, q.arm(env, blend)
	case q.tile != "":
		return r, q.tiled(ctx, env, r.(*MatchResult), o)
	case q.kind == "card":
		c, err = blend.Card(o)
	default:
		c, err = blend.Board(q.kind, q.loads, o)
	}
	if err != nil {
		return nil, err
	}
	return r, q.send(env, c)
}

// blend is what is drawn, and the result that tells of it.
func (q *cardRequest) blend(ctx context.Context, env *Env, in Input) (*BlendResult, Result, error) {
	if q.batch == "" {
		return in.blended(ctx, env.Progress)
	}
	all := env.doc.Task.Groups
	known := append(slices.Clone(all[:len(all)-1]), words(Field{Name: "part"}, Field{Name: "rank"})) // the last is the picture's
	if err := env.knownOf("a batch in the book", known, "skin"); err != nil {
		return nil, nil, err
	}
	r, _, notes, err := env.batchAsMade(ctx, q.batch, in, true)
	if err == nil && len(r.Blend.parts) == 0 {
		err = inputf("batch %s has no powder in it, so there is nothing to see", q.batch)
	}
	if err != nil {
		return nil, nil, err
	}
	for _, n := range notes {
		env.warn(n)
	}
	return r, r, nil
}

// send delivers a card or a board on its paper.
func (q *cardRequest) send(env *Env, c *swatches.Card) error {
	pages, paper := q.on(env, c)
	return env.drawn(q.kind, q.format, paper, pages...)
}

// arm delivers the picture alone.
func (q *cardRequest) arm(env *Env, r *BlendResult) error {
	scene := q.rig.Scene()
	scene.OwnColour = q.ownColour
	var p *ShimmerPicture
	var err error
	if stopped := env.unlessStopped(func() {
		p, err = r.setting.arm(r.Blend.parts, scene, q.width, q.height, uint64(q.seed))
	}); stopped != nil {
		return stopped
	}
	if err != nil || !env.Sends {
		return err
	}
	return p.send(env)
}

// tiled deals the matched blends' cards out over sheets.
func (q *cardRequest) tiled(ctx context.Context, env *Env, m *MatchResult, o CardOptions) error {
	paper := map[string]swatches.Paper{"a4": swatches.A4, "letter": swatches.Letter}[q.tile]
	paper.DPI = cmp.Or(q.dpi, 200)
	o.Small = true
	var cards []*swatches.Card
	for rank := range m.Blends {
		blend, err := m.one(rank+1), error(nil)
		if !o.Client {
			if blend, err = env.toWeigh(ctx, blend); err != nil {
				return err
			}
		}
		card, err := blend.Card(o)
		if err != nil {
			return err
		}
		card.Title = fmt.Sprintf("%s, no.\u00a0%d", card.Title, rank+1)
		cards = append(cards, card)
		o.Seed += 1 << 8
	}
	sheets, err := swatches.Sheets(paper, cards...)
	if err != nil {
		return input(err)
	}
	var pages []swatches.Drawing
	for _, s := range sheets {
		pages = append(pages, s)
	}
	return env.drawn("cards", q.format, paper, pages...)
}
