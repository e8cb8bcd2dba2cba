package proof

// Played is the same brush with play (mm): while it is lifted nothing changes on
// the paper until it was lifted by the play, and after that a press acts as so
// much deeper. Pressed again, nothing changes until the press is as deep as the
// mark is.
func (b *Brush) Played(play float64) *Brush {
	out := *b
	out.play = max(play, 0)
	return &out
}

// acting yields the parts of the path in contact as contact does, with the feeds of
// their marks, and at the heights at which the brush acts: those of the machine,
// taken along with play. A stroke begins at the machine's own. The brush may be
// nil.
func (p *Path) acting(brush *Brush, flat bool, yield func(segment)) {
	if brush == nil {
		p.contact(flat, yield)
		return
	}
	if brush.spread.Rate > 0 {
		yield = atFeeds(p, flat, yield)
	}
	if brush.play == 0 {
		p.contact(flat, yield)
		return
	}
	acts := 0.0 // the height at which the brush acts
	p.contact(flat, func(k segment) {
		if k.begins {
			acts = k.from.Z
		}
		// The way from which on the brush follows: pressed deeper than it acts, or
		// lifted by more than its play above that.
		low, high := acts, acts+brush.play
		from, to := k.from.Z, k.to.Z
		limit := min(max(to, low), high)
		moved := 1.0 // share of the way at which it begins to follow
		if limit != to {
			moved = (limit - from) / (to - from)
		}
		at := between(k.from, k.to, moved)
		if k.from.Z = acts; moved == 1 {
			k.to.Z = acts
			yield(k)
			return
		}
		first, last := k, k
		first.to, last.from, last.begins = at, at, false
		first.to.Z, last.from.Z = acts, acts
		first.length, last.length = float64(k.length*moved), float64(k.length*(1-moved))
		first.share, last.share = float64(k.share*moved), float64(k.share*(1-moved))
		if to < from {
			acts = to
		} else {
			acts = to - brush.play
		}
		last.to.Z = acts
		if moved > 0 {
			yield(first)
		} else {
			last.begins = k.begins
		}
		yield(last)
	})
}

// atFeeds puts the feeds of the marks into the parts of the path in contact.
func atFeeds(p *Path, flat bool, yield func(segment)) func(segment) {
	var fastest []float64 // of each stroke
	p.contact(flat, func(k segment) {
		if k.begins {
			fastest = append(fastest, 0)
		}
		if k.length > 0 {
			fastest[k.stroke] = max(fastest[k.stroke], p.Moves[k.move].Feed)
		}
	})
	return func(k segment) {
		k.fastest = fastest[k.stroke]
		if k.feed = k.fastest; k.length > 0 {
			k.feed = p.Moves[k.move].Feed
		}
		yield(k)
	}
}
