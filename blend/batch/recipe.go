package batch

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/table"
)

// RecipeWords say how a recipe is written, for helps.
const RecipeWords = `It is an amount to each ingredient, by commas or lines: 'water 70 %, glycerin 4,
emulsifying wax 5'. Grams will do for per cent where all are grams; 'water to 100'
is what is left. An ingredient this tool does not know wants its INCI names after
it: 'my wax (Cetearyl Alcohol, Ceteareth-20) 3'. Lines such as 'oil phase' and
'cool down', or 'oil phase:' before an ingredient, part the phases; 'pH 5-5.5' and
'kind: mist' say the rest, 'density: 0.97' what 1 ml weighs, g. 'areas: body, eyes'
on a line of its own says that it may be worn at the eyes too; without, it is for the
body. That is yours to say, once a safety assessor has found it fit for there. The
label of a base bought ready made is its INCI names after 'Ingredients:', or with a
line 'kind: ready', without amounts.`

// item is one part of a recipe.
type item struct {
	line   int
	phase  Phase // "" where the recipe says none
	text   string
	name   string
	inci   string // in brackets after the name
	amount float64
	grams  bool
	rest   bool // to 100
	label  bool // headed as a label's list is
}

var (
	bullet      = regexp.MustCompile(`^(?:[-*•·–]|\d+[.)])\s+`)
	amountEnd   = regexp.MustCompile(`(?i)^(.*?)[\s:=]*(?:(\d+(?:[.,]\d+)?)\s*(%|g|grams?|per ?cent)?|(q\.? ?s\.?(?: to 100 ?%?)?|to 100 ?%?|ad 100 ?%?))$`)
	amountTop   = regexp.MustCompile(`(?i)^(\d+(?:[.,]\d+)?)\s*(%|g|grams?|per ?cent)\s*(?:of\s+)?(.+)$`)
	strengthEnd = regexp.MustCompile(`(?i)^(.+?)(?: solution)?[\s,]*(\d+(?:[.,]\d+)?)\s*(?:%|per ?cent)$`)
	inBracket   = regexp.MustCompile(`^(.*?)\s*\(([^()]*[A-Za-z][^()]*)\)$`)
	phaseHead   = regexp.MustCompile(`(?i)^(water phase|oil phase|cool|wetting)(?:[- ]?down|ing)?(?: phase)?\s*:(.*)$`)
	measured    = regexp.MustCompile(`(?i)(?:\d|[½¼¾]|\b(?:an?|one|two|half|few))\s*(?:(?:heaped|level)\s+)?(?:cups?|tbsps?|tsps?|(?:table|tea|dessert)?spoons?(?:fuls?)?|drops?|pinch(?:es)?|dash(?:es)?|handfuls?|ml|l|cl|millilit(?:re|er)s?|lit(?:re|er)s?|pints?)\b`)
	phLine      = regexp.MustCompile(`(?i)^ph[\s:=]+(.+)$`)
)

// phaseWords part a recipe that says its phases.
var phaseWords = map[string]Phase{"water phase": PhaseWater, "oil phase": PhaseOil, "cool": PhaseCool, "wetting": PhaseWetting}

// ParseRecipe reads a base from a maker's own lines, as RecipeWords say, or from
// the label of one bought ready made. Errors are *table.Error; file is used in
// them, and is the base's name where the lines give none. What is not said and
// cannot be known is left open, for the checks to ask for; what is assumed
// stands in Implied.
func ParseRecipe(text, file string) (Base, error) {
	b := Base{File: file, Name: strings.TrimSuffix(file, ".txt"), Source: "own recipe", Areas: []palette.Area{palette.Body}}
	fault := func(line int, problem, accept string) error {
		return &table.Error{File: file, Line: line, Problem: problem, Accept: accept}
	}
	var items []item
	label := false     // of a base bought ready made
	phase := Phase("") // where the recipe says one
	for n, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(line), "#"))
		for word, p := range phaseWords {
			if l := strings.ToLower(line); strings.HasPrefix(l, word) && !strings.ContainsAny(l, "0123456789,") {
				phase, line = p, ""
			}
		}
		if said, err := b.recipeKey(line); err != nil {
			return b, fault(n+1, err.Error(), said)
		} else if said != "" {
			continue
		}
		for _, part := range splitItems(line) {
			part = strings.TrimSpace(bullet.ReplaceAllString(strings.TrimSpace(part), ""))
			if m := phaseHead.FindStringSubmatch(part); m != nil {
				part, phase = strings.TrimSpace(m[2]), phaseWords[strings.ToLower(m[1])]
			}
			if part == "" {
				continue
			}
			it := readItem(part)
			it.line, it.phase = n+1, phase
			label = label || it.label
			if it.label && it.name == "" {
				continue
			}
			if it.amount == 0 && measured.MatchString(part) {
				return b, fault(it.line, fmt.Sprintf("%q: cups, spoons, drops and ml are not weights", table.Clip(part)), "per cent or grams: put what it takes on a balance once")
			}
			items = append(items, it)
		}
	}
	if len(items) == 0 {
		return b, fault(1, "there is no ingredient", "ingredients with their amounts, such as water 70 %, glycerin 4")
	}
	if !slices.ContainsFunc(items, func(it item) bool { return it.amount > 0 || it.rest }) {
		if !label && b.Kind != Ready {
			return b, fault(items[0].line, "no ingredient has an amount", "amounts, such as water 70 %, glycerin 4; or 'Ingredients:' before the label of a base bought ready made, or a line 'kind: ready'")
		}
		if line, err := b.bought(items); err != nil {
			return b, fault(line, err.Error(), "INCI names as the label has them, each once")
		}
		return b, nil
	}
	if line, err := percents(items); err != nil {
		return b, fault(line, err.Error(), "per cent of the whole that sum to 100, or grams throughout")
	}
	for _, it := range items {
		in, err := it.ingredient()
		if err != nil {
			return b, fault(it.line, err.Error(), "a name this tool knows, or its INCI name in brackets, as its jar has it: "+it.name+" (…) "+fmt.Sprintf("%g", it.amount))
		}
		in.Phase = cmp.Or(it.phase, in.Phase)
		if err := b.put(in); err != nil {
			return b, fault(it.line, err.Error(), oncePhase)
		}
	}
	if err := b.settle(); err != nil {
		return b, fault(items[0].line, err.Error(), "")
	}
	b.imply()
	return b, nil
}

// recipeKey reads a line that says something of the whole base, and returns what
// such a line is; "" for a line of ingredients.
func (b *Base) recipeKey(line string) (string, error) {
	if m := phLine.FindStringSubmatch(line); m != nil {
		line = "ph: " + m[1]
	}
	name, value, found := strings.Cut(line, ":")
	name = strings.ToLower(strings.TrimSpace(name))
	switch {
	case !found:
		return "", nil
	case name == "name":
		name = "base"
	case name == "density":
		name = "density_g_ml"
	case name == "ingredients" || name == "inci":
		return "", nil
	}
	for _, f := range b.fields() {
		if f.name == name {
			return name + ": " + f.accept, f.set(strings.TrimSpace(value))
		}
	}
	return "", nil
}

// splitItems parts a line at semicolons, and at commas before a space, outside
// brackets.
func splitItems(line string) (out []string) {
	from, depth := 0, 0
	for i, r := range line {
		switch r {
		case '(':
			depth++
		case ')':
			depth--
		case ';', ',':
			if depth <= 0 && (r == ';' || i+1 == len(line) || line[i+1] == ' ') {
				out, from = append(out, line[from:i]), i+1
			}
		}
	}
	return append(out, line[from:])
}

func readItem(text string) item {
	text = strings.ReplaceAll(text, "(and)", "and")
	it := item{text: text, name: text}
	if _, after, found := strings.Cut(text, ":"); found && slices.Contains([]string{"ingredients", "inci"}, strings.ToLower(text[:strings.Index(text, ":")])) {
		it.name, it.label = strings.TrimSpace(after), true
	}
	number, unit := "", ""
	if named(it.name) && !strings.Contains(text, "%") { // such as polysorbate 60
		return it
	}
	if m := amountTop.FindStringSubmatch(it.name); m != nil {
		number, unit, it.name = m[1], m[2], m[3]
	} else if m := amountEnd.FindStringSubmatch(it.name); m != nil && strings.TrimSpace(m[1]) != "" && !strings.HasSuffix(m[1], "-") { // as in ceteareth-20
		it.name, number, unit, it.rest = m[1], m[2], m[3], m[4] != ""
	}
	it.grams = strings.HasPrefix(strings.ToLower(unit), "g")
	it.amount, _ = table.Finite(number) // "" is none
	it.name = strings.TrimSpace(it.name)
	return it.bracketed()
}

// bracketed is an item with the INCI name that its own has in brackets, if any.
func (it item) bracketed() item {
	if m := inBracket.FindStringSubmatch(it.name); m != nil {
		it.name, it.inci = m[1], m[2]
	}
	return it
}

// percents turns amounts into per cent of the whole; line is that of a fault.
func percents(items []item) (line int, err error) {
	sum, rest, grams := 0.0, -1, 0
	for i, it := range items {
		switch {
		case it.rest && rest >= 0:
			return it.line, errors.New("two ingredients are to fill up to 100")
		case it.rest:
			rest = i
		case it.amount <= 0 && i+1 < len(items) && items[i+1].line == it.line:
			return it.line, fmt.Errorf("%q has no amount over 0; where it is sold as one with what follows, write: %s and %s", table.Clip(it.text), it.text, items[i+1].text)
		case it.amount <= 0:
			return it.line, fmt.Errorf("%q has no amount over 0", table.Clip(it.text))
		}
		sum += it.amount
		if it.grams {
			grams++
		}
	}
	if rest >= 0 {
		if items[rest].amount = math.Round((100-sum)*1e6) / 1e6; items[rest].amount <= 0 {
			return items[rest].line, fmt.Errorf("%s is to fill up to 100, but the rest is %.4g already", items[rest].name, sum)
		}
		return 0, nil
	}
	if grams > 0 {
		if grams < len(items) {
			return items[0].line, errors.New("some amounts are grams and some are not")
		}
		for i := range items {
			items[i].amount *= 100 / sum
		}
		return 0, nil
	}
	for _, it := range items {
		if it.amount > 100 {
			return it.line, fmt.Errorf("%q is more than the whole", table.Clip(it.text))
		}
	}
	return 0, nil
}

// AsIngredient is what a maker calls an ingredient, as in a recipe but without an amount:
// a per cent in it is the strength of a solution.
func AsIngredient(name string) (Ingredient, error) {
	in, err := item{text: name, name: name}.bracketed().ingredient()
	in.Name = name
	return in, err
}

// solution is the INCI list of what sets the pH where its name has its strength in water,
// % w/w, such as "citric acid 20 %"; "" of anything else, whose carrier is not known.
func solution(name string) string {
	m := strengthEnd.FindStringSubmatch(name)
	if top := amountTop.FindStringSubmatch(name); top != nil {
		m = []string{name, strings.TrimSuffix(top[3], " solution"), top[1]}
	}
	if m == nil {
		return ""
	}
	known, _ := rules.Named(m[1])
	share, err := table.Number(m[2], 0, 100)
	if err != nil || share == 0 || share == 100 || known == nil || !slices.Contains(known.Roles, string(RolePH)) {
		return ""
	}
	return fmt.Sprintf("%s=%g;Aqua=%g", known.INCI, share, 100-share)
}

// ingredient is what the tables know of an item.
func (it item) ingredient() (Ingredient, error) {
	in := Ingredient{Name: it.name, INCI: strings.Join(palette.Listed(it.inci), ";"), Percent: it.amount, Line: it.line}
	known, mix := rules.Named(cmp.Or(it.inci, it.name))
	if mix != nil {
		in.INCI = mix.Of(cmp.Or(it.inci, it.name))
	} else if known != nil {
		in.INCI = known.INCI
	} else if of := solution(it.name); it.inci == "" && of != "" {
		in.INCI = of
	} else if it.inci == "" {
		var names []string
		for _, n := range palette.Listed(it.name) {
			if r := role(n); r != nil {
				names = append(names, r.INCI)
			}
		}
		if len(names) == len(palette.Listed(it.name)) {
			in.INCI = strings.Join(names, ";")
		}
	}
	var subs []palette.Ingredient
	if in.INCI != "" {
		var err error
		if subs, err = palette.ParseINCI(in.INCI); err != nil {
			return in, err
		}
		mix = cmp.Or(mix, rules.SoldAs(subs))
	}
	switch {
	case mix != nil:
		subs = nil
		in.take(&rules.Ingredient{Phase: mix.Phase, AddBelowC: mix.AddBelowC, Roles: mix.Roles})
	case in.INCI == "":
		text := fmt.Sprintf("%q is not known", table.Clip(it.name))
		if near := colour.NearBy(it.name, rules.Names()); near != "" {
			text += fmt.Sprintf("; is %s meant?", near)
		}
		return in, errors.New(text)
	}
	for _, s := range subs {
		of := role(s.INCI)
		if of == nil && scented(it.name, s.INCI) {
			of = scentRole
		}
		in.take(of)
	}
	if in.Phase == "" {
		in.Phase, in.Roles = PhaseOil, []Role{RoleUnknown}
		if slices.ContainsFunc(subs, func(s palette.Ingredient) bool { return watery(s.INCI) }) {
			in.Phase = PhaseWater
		}
	}
	return in, nil
}

func named(name string) bool {
	known, mix := rules.Named(name)
	return known != nil || mix != nil
}

// role is what a substance is in a recipe for, nil where that is not known.
func role(inci string) *rules.Ingredient {
	known, _ := rules.Named(inci)
	if known == nil && rules.PreservativeOf(inci) != nil {
		return &rules.Ingredient{INCI: rules.PreservativeOf(inci).INCI, Phase: string(PhaseCool), AddBelowC: 45, Roles: []string{string(RolePreservative)}} // below 45 °C: common practice
	}
	return known
}

// scentRole is that of a scent, which boils off where it is warm (common practice:
// below 40 °C).
var scentRole = &rules.Ingredient{Phase: string(PhaseCool), AddBelowC: 40, Roles: []string{string(RoleScent)}}

// take adds what one of an ingredient's substances is there for; what heat would
// harm takes the whole of it into the cool phase.
func (i *Ingredient) take(known *rules.Ingredient) {
	if known == nil {
		return
	}
	if i.Phase == "" || Phase(known.Phase) == PhaseCool {
		i.Phase = Phase(known.Phase)
	}
	if known.AddBelowC > 0 && (i.AddBelowC == 0 || known.AddBelowC < i.AddBelowC) {
		i.AddBelowC = known.AddBelowC
	}
	for _, r := range known.Roles {
		if !i.Has(Role(r)) {
			i.Roles = append(i.Roles, Role(r))
		}
	}
}

// bought fills a base from a label, in its order; line is that of a fault.
func (b *Base) bought(items []item) (line int, err error) {
	b.Kind, b.Source = Ready, "its label"
	for _, it := range items {
		in := Ingredient{Phase: PhaseBase, Name: it.text, INCI: cmp.Or(strings.Join(palette.Listed(it.name), ";"), it.name), Line: it.line}
		if it.inci != "" && rules.IngredientOf(it.name) == nil {
			in.INCI = it.name + " (" + it.inci + ")"
		}
		if _, err := palette.ParseINCI(in.INCI); err != nil {
			return it.line, err
		}
		if err := b.put(in); err != nil {
			return it.line, err
		}
	}
	b.assume()
	return 0, nil
}

const oncePhase = "each ingredient once a phase"

// put adds an ingredient that its phase does not have yet.
func (b *Base) put(in Ingredient) error {
	for _, was := range b.Ingredients {
		if strings.EqualFold(was.Name, in.Name) && was.Phase == in.Phase {
			return fmt.Errorf("%q stands there already, on line %d in the %s phase", in.Name, was.Line, in.Phase)
		}
	}
	b.Ingredients = append(b.Ingredients, in)
	return nil
}

// settle decides what kind of base the ingredients make, what gives way, and
// what is assumed of the rest.
func (b *Base) settle() error {
	phase := func(p Phase) (sum float64) {
		for _, in := range b.Ingredients {
			if in.Phase == p {
				sum += in.Percent
			}
		}
		return sum
	}
	wet := b.share(watery)+b.share(alcohol) >= 1 // less comes with a bought mixture
	holds := slices.ContainsFunc(b.Ingredients, func(in Ingredient) bool {
		return in.Phase == PhaseWater && (in.Has(RoleThickener) || in.Has(RoleSuspender))
	})
	if b.Kind == "" {
		switch {
		case !wet:
			b.Kind = Oil
		case b.Flammable() || phase(PhaseOil) == 0 && !holds:
			b.Kind = Spray
		default:
			b.Kind = Lotion
		}
	}
	most := -1
	for i := range b.Ingredients {
		in := &b.Ingredients[i]
		if (b.Kind == Oil || b.Kind == Mist) && in.Has(RoleWetting) || b.Kind == Spray && in.Has(RoleHumectant) {
			in.Phase = PhaseWetting
		} else if in.Phase == PhaseOil && b.Kind == Spray || in.Phase == PhaseWater && (b.Kind == Oil || b.Kind == Mist) {
			in.Phase = phasesOf[b.Kind][0]
		}
		if most < 0 || in.Percent > b.Ingredients[most].Percent {
			most = i
		}
		if !slices.Contains(phasesOf[b.Kind], in.Phase) {
			return fmt.Errorf("%s is of the %s phase, which a base of kind %s has not", in.Name, in.Phase, b.Kind)
		}
	}
	for i := range b.Ingredients {
		in := &b.Ingredients[i]
		in.Roles = slices.DeleteFunc(in.Roles, func(r Role) bool { return r == RoleFiller })
		if i == most {
			in.Roles = append(in.Roles, RoleFiller)
		}
	}
	slices.SortStableFunc(b.Ingredients, func(x, y Ingredient) int {
		return slices.Index(phasesOf[b.Kind], x.Phase) - slices.Index(phasesOf[b.Kind], y.Phase)
	})
	b.assume()
	return nil
}

// assume fills in the density and the thickness of a base of its kind (common
// practice), which a maker sees and may measure.
func (b *Base) assume() {
	density, how := 0.92, Thin
	switch {
	case b.Kind == Lotion || b.Kind == Ready && b.HasWater():
		density, how = 0.98, Soft
	case b.Kind == Spray && b.Flammable():
		density = 0.86
	case b.Kind == Spray:
		density = 1.01
	case slices.ContainsFunc(b.Ingredients, func(in Ingredient) bool { return in.Has(RoleThickener) || in.Has(RoleSuspender) }):
		how = Soft
	}
	if b.Density == 0 {
		b.Density = density
		b.assumed(assumedDensity)
	}
	if b.Consistency == "" {
		b.Consistency = how
		b.assumed(assumedConsistency)
	}
}
