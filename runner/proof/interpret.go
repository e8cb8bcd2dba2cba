package proof

import "bytes"

// interpreter is the state of the machine, as far as the program sets it.
type interpreter struct {
	*text
	block *block // of the line

	at        Point   // where the machine is, in the coordinates at the program's start
	zero      Point   // the zero set by G92, in the same coordinates
	kept      Point   // the zero that G92.2 stores and G92.3 restores
	unit      float64 // mm
	relative  bool
	plane     int
	motion    int // G0 to G3 in tenths, -1 for none
	feed      float64
	inverse   bool    // G93
	perMove   float64 // F under G93, 1/min
	ended     bool
	arcChords int // of all arcs together
}

// Read reads a program. The path contains everything that could be followed and
// the faults in the order of the text, which are also returned. A line with a
// fault moves nothing. Until the program sets them, lengths are in mm,
// coordinates absolute and feeds in mm/min; Check requires that it sets them.
//
// Faults are also what cannot be followed: parameters and formulas, block
// delete, rotary axes, cycles, probing, and whatever depends on a value stored
// in the machine (G10, G28, G30, G41 to G43, G53, G55 to G59.3).
func Read(name string, program []byte) (*Path, []Fault) {
	p := &Path{Name: name}
	t := &text{path: p}
	parser := parser{text: t}
	machine := interpreter{text: t, block: &parser.block, unit: 1, plane: 17, motion: -1}
	if len(program) > MaxBytes {
		p.Lines = 1
		t.fault(0, 0, "too-much", "split the program", "the program has %d bytes, at most %d are read", len(program), MaxBytes)
		return p, p.Faults
	}
	marked := false // the text began with %
	begun := false
	for len(program) > 0 && !t.stop {
		p.Lines++
		line, rest, _ := bytes.Cut(program, []byte{'\n'})
		t.line, program = bytes.TrimSuffix(line, []byte{'\r'}), rest
		bare := bytes.Trim(t.line, " \t")
		switch {
		case len(bare) == 0:
		case p.After > 0: // only count the lines
		case len(bare) == 1 && bare[0] == '%' && (marked || !begun):
			if !marked {
				marked = true
			} else {
				marked, machine.ended = false, true
			}
			begun = true
		case machine.ended:
			p.After = p.Lines
		default:
			begun = true
			if parser.parse() && machine.wordsFit() {
				machine.execute()
			}
		}
	}
	p.fillStart()
	return p, p.Faults
}

// fillStart sets the unknown coordinates at the start of the program to the
// first value stated of each axis.
func (p *Path) fillStart() {
	moves := p.Moves
	for _, axis := range [...]Axes{X, Y, Z} {
		for i := range moves {
			if moves[i].Unknown&axis == 0 || moves[i].Stated&axis == 0 {
				continue
			}
			v := *coordinate(&moves[i].To, axis)
			*coordinate(&moves[i].From, axis) = v
			for j := range moves[:i] {
				*coordinate(&moves[j].From, axis) = v
				*coordinate(&moves[j].To, axis) = v
			}
			break
		}
	}
}

// coordinate is one coordinate of a point.
func coordinate(p *Point, axis Axes) *float64 {
	switch axis {
	case X:
		return &p.X
	case Y:
		return &p.Y
	}
	return &p.Z
}

// wordsFit reports a word of the line that nothing on it uses.
func (r *interpreter) wordsFit() bool {
	b := r.block
	if !b.rare {
		return true
	}
	dwells := b.g[once] == 40+1
	arcs := r.isArc()
	for _, u := range [...]struct {
		letter byte
		used   bool
		by     string
	}{
		{'A', false, "a machine with three axes"}, {'B', false, "a machine with three axes"}, {'C', false, "a machine with three axes"},
		{'D', false, "G40"}, {'H', false, "G49"}, {'L', false, "a program for a brush"}, {'Q', false, "a program for a brush"},
		{'P', dwells, "a line without G4"},
		{'I', arcs, "a line without G2 or G3"}, {'J', arcs, "a line without G2 or G3"}, {'K', arcs, "a line without G2 or G3"},
		{'R', arcs, "a line without G2 or G3"},
	} {
		if b.has[u.letter-'A'] && !u.used {
			r.fault(int(b.at[u.letter-'A']), 1, "unused-word", "take the word away, or write the word that it belongs to",
				"%c is unexpected: %s has no use for it", u.letter, u.by)
			return false
		}
	}
	return true
}

// isArc reports whether the line's motion is an arc.
func (r *interpreter) isArc() bool {
	if g := r.block.g[motions]; g != 0 {
		return g == 20+1 || g == 30+1
	}
	return r.motion == 20 || r.motion == 30
}

// execute executes the line in the order of table 8.
func (r *interpreter) execute() {
	b := r.block
	r.setFeedMode()
	if !r.setFeed() || !r.noteSpeedAndTool() {
		return
	}
	for _, group := range [...]int{toolChange, spindles, coolants, overrides} {
		r.noteM(b.m[group], b.mAt[group])
	}
	if b.g[once] == 40+1 && !r.dwell() {
		return
	}
	r.setPlaneAndUnit()
	for _, group := range [...]int{radii, lengths, systems, pathModes} {
		r.note('G', b.g[group], b.gAt[group])
	}
	if g := b.g[distances]; g != 0 {
		r.note('G', g, b.gAt[distances])
		r.relative = g == 910+1
	}
	r.note('G', b.g[retracts], b.gAt[retracts])
	if !r.shiftZero() || !r.move() {
		return
	}
	if m := b.m[stops]; m != 0 {
		r.noteM(m, b.mAt[stops])
		switch m - 1 {
		case 2, 30:
			r.ended, r.path.End = true, r.path.Lines
		default:
			r.add(Move{Kind: Pause, To: r.at})
		}
	}
}

// setFeedMode executes G93 and G94. The feed of one mode is unknown in the other.
func (r *interpreter) setFeedMode() {
	g := r.block.g[feedModes]
	r.note('G', g, r.block.gAt[feedModes])
	switch g {
	case 930 + 1:
		r.inverse, r.feed = true, 0
	case 940 + 1:
		if r.inverse {
			r.feed = 0
		}
		r.inverse = false
	}
	r.perMove = 0
}

// setFeed executes F.
func (r *interpreter) setFeed() bool {
	f, ok := r.block.word('F')
	switch {
	case !ok:
	case f < 0:
		r.faultWord('F', "feed", "write a feed above zero", "the feed is negative")
		return false
	case r.inverse:
		r.perMove = f
	default:
		r.feed = float64(f * r.unit)
	}
	return true
}

// noteSpeedAndTool notes S and T.
func (r *interpreter) noteSpeedAndTool() bool {
	for _, letter := range [...]byte{'S', 'T'} {
		v, ok := r.block.word(letter)
		switch {
		case !ok:
		case v < 0:
			r.faultWord(letter, "number", "take the word away", "%c is negative", letter)
			return false
		default:
			r.noteWord(letter, v, r.block.at[letter-'A'])
		}
	}
	return true
}

// setPlaneAndUnit executes G17 to G21.
func (r *interpreter) setPlaneAndUnit() {
	b := r.block
	if g := b.g[planes]; g != 0 {
		r.note('G', g, b.gAt[planes])
		r.plane = int(g-1) / 10
	}
	if g := b.g[units]; g != 0 {
		r.note('G', g, b.gAt[units])
		r.unit = 1
		if g == 200+1 {
			r.unit = 25.4
		}
	}
}

// dwell executes G4, section 3.5.4.
func (r *interpreter) dwell() bool {
	p, ok := r.block.word('P')
	if !ok || p < 0 {
		r.fault(int(r.block.gAt[once]), 2, "dwell", "write P and the seconds, such as G4 P0.5", "G4 needs P with the seconds to wait, 0 or more")
		return false
	}
	r.noteWord('G', 4, r.block.gAt[once])
	return r.add(Move{Kind: Dwell, To: r.at, Seconds: p})
}

// shiftZero executes G92 to G92.3, section 3.5.18.
func (r *interpreter) shiftZero() bool {
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
		r.kept = r.zero
	case 921:
		r.zero, r.kept = Point{}, Point{}
	case 922:
		r.zero = Point{}
	case 923:
		r.zero = r.kept
	default:
		return true
	}
	r.note('G', g, b.gAt[once])
	return true
}

// axisLetter is the word that states an axis.
func axisLetter(axis Axes) byte {
	switch axis {
	case X:
		return 'X'
	case Y:
		return 'Y'
	}
	return 'Z'
}

// move makes the motion of the line, sections 3.5.1 to 3.5.3.
func (r *interpreter) move() bool {
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

// moveTo makes a motion to a point, of the kind that holds.
func (r *interpreter) moveTo(stated Axes, to Point) bool {
	m := Move{Kind: Rapid, Stated: stated, To: to}
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
func (r *interpreter) target(stated Axes) (Point, bool) {
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
func (r *interpreter) add(m Move) bool {
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

// note keeps a G word given in tenths plus 1, 0 for none.
func (r *interpreter) note(letter byte, tenths, at int16) {
	if tenths != 0 {
		r.noteWord(letter, float64(tenths-1)/10, at)
	}
}

// noteM keeps an M word, given as its number plus 1, 0 for none.
func (r *interpreter) noteM(number, at int16) {
	if number != 0 {
		r.noteWord('M', float64(number-1), at)
	}
}

func (r *interpreter) noteWord(letter byte, value float64, at int16) {
	if len(r.path.Words) == MaxNotes {
		r.fault(int(at), 1, "too-much", "split the program", "the program has more than %d words that set how the machine works", MaxNotes)
		r.stop = true
		return
	}
	r.path.Words = append(r.path.Words, Word{Letter: letter, Value: value, Line: r.path.Lines, Column: r.column(int(at)), Moves: len(r.path.Moves)})
}

// faultWord reports the word with the letter.
func (r *interpreter) faultWord(letter byte, code, fix, format string, args ...any) {
	r.fault(int(r.block.at[letter-'A']), 1, code, fix, format, args...)
}

// faultFirst reports the first of the axis words on the line.
func (r *interpreter) faultFirst(stated Axes, code, fix, message string) {
	at := len(r.line)
	for _, axis := range [...]Axes{X, Y, Z} {
		if stated&axis != 0 {
			at = min(at, int(r.block.at[axisLetter(axis)-'A']))
		}
	}
	r.fault(at, 1, code, fix, "%s", message)
}
