package batch

// ready checks additions to a bought base: its maker's limit, and how far
// they thin its preservative.
func (c *checker) ready() {
	if c.base.Kind != Ready {
		return
	}
	added := 0.0
	for _, p := range c.req.Parts {
		added += p.Percent
	}
	for _, e := range c.req.Extras {
		added += e.Percent
	}
	if c.req.Scent != nil {
		added += c.req.Scent.Percent
	}
	if added == 0 {
		return
	}
	if added > c.base.MaxAddPercent*(1+1e-9) {
		c.add(Fault, c.base.Name, "the base's maker", "The additions are %.3g %%; its maker allows %g %%. Past that its thickness and preservative are not vouched for.", added, c.base.MaxAddPercent)
	}
	if c.base.HasWater() {
		c.add(Advice, c.base.Name, practice, "The additions thin the bought preservative to %.3g %% of what it was. Its maker's test no longer holds for your product.", 100-added)
	}
}
