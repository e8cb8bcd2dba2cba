package proof

// mover is the state of the machine, as far as the program sets it.
type mover struct {
	words

	at        Point   // where the machine is, in the coordinates at the program's start
	zero      Point   // the zero that G92 set, in the same coordinates
	savedZero Point   // what G92.3 restores
	unit      float64 // mm
	relative  bool
	plane     int
	motion    int     // G0 to G3 in tenths, -1 for none
	feed      float64 // mm/min
	inverse   bool    // G93
	perMove   float64 // F under G93, 1/min
	arcChords int     // of all arcs together
}

// shiftZero executes G92 to G92.3, section 3.5.18.
func (r *mover) shiftZero() bool {
	b := r.block
	g := b.g[once]
	switch g - 1 {
	case 920:
		if !b.has['X'-'A'] && !b.has['Y'-'A'] && !b.has['Z'-'A'] {
			r.fault(int(b.gAt[once]), 3, "no-axis", "write X, Y or Z, or take G92 away", "G92 has no X, Y or Z")
			return false
		}
		for _, axis := range [...]Axes{X, Y, Z} {
			letter := axisLetter(axis)
			v, ok := b.word(letter)
			if !ok {
				continue
			}
			if r.path.Stated&axis == 0 {
				r.faultWord(letter, "unknown-start", "move there first, or set the zero at the machine", "G92 gives a new name to the machine's position, which the program has not set")
				return false
			}
			*coordinate(&r.zero, axis) = *coordinate(&r.at, axis) - float64(v*r.unit)
		}
		r.savedZero = r.zero
	case 921:
		r.zero, r.savedZero = Point{}, Point{}
	case 922:
		r.zero = Point{}
	case 923:
		r.zero = r.savedZero
	default:
		return true
	}
	r.note('G', g, b.gAt[once])
	return true
}

// move makes the motion of the line, sections 3.5.1 to 3.5.3.
func (r *mover) move() bool {
	b := r.block
	var stated Axes
	for _, axis := range [...]Axes{X, Y, Z} {
		if b.has[axisLetter(axis)-'A'] {
			stated |= axis
		}
	}
	g := int(b.g[motions]) - 1
	if b.g[once] == 920+1 {
		if g >= 0 {
			r.fault(int(b.gAt[once]), 3, "twice", "put G92 on a line of its own", "G92 and a motion both use the axis words of the line")
			return false
		}
		return true
	}
	if g >= 0 {
		r.motion = g
		if g == 800 {
			r.motion = -1
		}
	}
	if stated == 0 {
		if g < 0 || g == 800 {
			return true
		}
		r.fault(int(b.gAt[motions]), 2, "no-axis", "write X, Y or Z after it", "%s has no X, Y or Z", gName(g))
		return false
	}
	if r.motion < 0 {
		r.faultFirst(stated, "no-motion", "write G0, G1, G2 or G3 before it", "no motion word says how to go there")
		return false
	}
	to, ok := r.target(stated)
	return ok && r.moveTo(stated, to)
}

// moveTo makes a motion to a point, of the kind that is in force.
func (r *mover) moveTo(stated Axes, to Point) bool {
	m := Move{Kind: Rapid, Stated: stated, To: to, OwnMotion: r.block.g[motions] != 0, OwnFeed: r.block.has['F'-'A']}
	if r.motion > 0 {
		m.Kind, m.Feed = Feed, r.feed
	}
	if r.motion >= 20 {
		m.Kind = Arc
		var ok bool
		if m.Helix, ok = r.arc(stated, to); !ok {
			return false
		}
		if r.arcChords += m.Helix.count(chordError); r.arcChords > MaxChords {
			r.fault(0, 1, "too-much", "split the program", "the arcs of the program need more than %d chords", MaxChords)
			r.stop = true
			return false
		}
	}
	if m.Kind != Rapid && r.inverse {
		// Under G93 the move takes 1/F minutes, section 3.5.19.
		if r.perMove == 0 {
			r.fault(0, 1, "feed", "write F on each G1, G2 and G3 line, or G94 once", "the line needs an F of its own while G93 holds")
			return false
		}
		m.From = r.at
		m.Feed = float64(m.Length() * r.perMove)
	}
	return r.add(m)
}

// target is the point that the axis words state, in mm.
func (r *mover) target(stated Axes) (Point, bool) {
	to := r.at
	for _, axis := range [...]Axes{X, Y, Z} {
		if stated&axis == 0 {
			continue
		}
		letter := axisLetter(axis)
		v, c := float64(r.block.value[letter-'A']*r.unit), coordinate(&to, axis)
		switch {
		case !r.relative:
			*c = v + *coordinate(&r.zero, axis)
		case r.path.Stated&axis == 0:
			r.faultWord(letter, "unknown-start", "write G90 and go to a position first", "%c counts from a position that the program has not set", letter)
			return to, false
		default:
			*c += v
		}
		if *c > MaxCoord || *c < -MaxCoord {
			r.faultWord(letter, "far-away", "write a position that the machine can reach", "%c goes to %s mm, farther than any machine", letter, plain(*c))
			return to, false
		}
	}
	return to, true
}

// add appends a move to the path and goes there.
func (r *mover) add(m Move) bool {
	if len(r.path.Moves) == MaxMoves {
		r.fault(0, 1, "too-much", "split the program", "the program has more than %d moves", MaxMoves)
		r.stop = true
		return false
	}
	m.From, m.Line = r.at, r.path.Lines
	m.Unknown = (X | Y | Z) &^ r.path.Stated
	r.path.Stated |= m.Stated
	r.at = m.To
	r.path.Moves = append(r.path.Moves, m)
	return true
}
