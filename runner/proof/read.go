package proof

import "bytes"

// reader is the state of the machine as far as the program says it.
type reader struct {
	path *Path
	line []byte
	b    block
	stop bool // nothing more is read

	at       Point // where the machine stands, in the coordinates of the program's start
	zero     Point // what G92 put there as zero
	kept     Point // the zero that G92.2 put by and G92.3 takes up again
	mm       float64
	relative bool
	plane    int
	motion   int // tenths of G0 to G3, -1 for none
	feed     float64
	inverse  bool    // G93
	perMove  float64 // F under G93, 1/min
	ended    bool
	turned   int // chords of all arcs
}

// Read reads a program. The path holds all that could be followed, the faults
// come in the order of the text; a line at fault moves nothing. The same
// faults stand in the path. Until the program says otherwise lengths are in
// mm, coordinates absolute and feeds in mm/min; Check asks whether it does say.
//
// Not followed, and so faults: parameters and formulas, block delete, turning
// axes, cycles, probing, and whatever needs a value stored in the machine
// (G10, G28, G30, G41 to G43, G53, G55 to G59.3).
func Read(name string, text []byte) (*Path, []Fault) {
	r := &reader{path: &Path{Name: name}, mm: 1, plane: 17, motion: -1}
	p := r.path
	if len(text) > MaxBytes {
		p.Lines = 1
		r.fault(0, 0, "too-much", "split the program", "the program has %d bytes, at most %d are read", len(text), MaxBytes)
		return p, p.Faults
	}
	marked := false // a % stands at the head
	begun := false
	for len(text) > 0 && !r.stop {
		p.Lines++
		r.line = text
		if i := bytes.IndexByte(text, '\n'); i >= 0 {
			r.line, text = text[:i], text[i+1:]
		} else {
			text = nil
		}
		if n := len(r.line); n > 0 && r.line[n-1] == '\r' {
			r.line = r.line[:n-1]
		}
		bare := bytes.Trim(r.line, " \t")
		switch {
		case len(bare) == 0:
		case p.After > 0: // read no more, only count lines
		case len(bare) == 1 && bare[0] == '%' && (marked || !begun):
			if !marked {
				marked = true
			} else {
				marked, r.ended = false, true
			}
			begun = true
		case r.ended:
			p.After = p.Lines
		default:
			begun = true
			if r.scan() && r.fits() {
				r.obey()
			}
		}
	}
	r.fillStart()
	return p, p.Faults
}

// fillStart puts the first value stated of each axis in the place of the ones
// before it, which nobody knows.
func (r *reader) fillStart() {
	moves := r.path.Moves
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

func coordinate(p *Point, axis Axes) *float64 {
	switch axis {
	case X:
		return &p.X
	case Y:
		return &p.Y
	}
	return &p.Z
}

// fits says whether each word of the line has another that uses it.
func (r *reader) fits() bool {
	b := &r.b
	if !b.rare {
		return true
	}
	dwells := b.g[once] == 40+1
	arcs := r.turning(b)
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
			r.fault(int(b.at[u.letter-'A']), 1, "unused-word", "take the word away, or write what it belongs to",
				"%c means nothing to %s", u.letter, u.by)
			return false
		}
	}
	return true
}

// turning says whether the line's motion is an arc.
func (r *reader) turning(b *block) bool {
	if g := b.g[motions]; g != 0 {
		return g == 20+1 || g == 30+1
	}
	return r.motion == 20 || r.motion == 30
}

// obey carries the line out in the order of table 8.
func (r *reader) obey() {
	b := &r.b
	r.note('G', b.g[feedModes], b.gAt[feedModes])
	switch b.g[feedModes] {
	case 930 + 1:
		r.inverse, r.feed = true, 0
	case 940 + 1:
		if r.inverse { // the feed of the one mode says nothing in the other
			r.feed = 0
		}
		r.inverse = false
	}
	r.perMove = 0
	if f, ok := b.word('F'); ok {
		switch {
		case f < 0:
			r.faultWord('F', "feed", "write a feed above zero", "the feed is less than nothing")
			return
		case r.inverse:
			r.perMove = f
		default:
			r.feed = float64(f * r.mm)
		}
	}
	for _, letter := range [...]byte{'S', 'T'} {
		if v, ok := b.word(letter); ok {
			if v < 0 {
				r.faultWord(letter, "number", "take the word away", "%c is less than nothing", letter)
				return
			}
			r.noteWord(letter, v, b.at[letter-'A'])
		}
	}
	for _, group := range [...]int{toolChange, spindles, coolants, overrides} {
		r.noteM(b.m[group], b.mAt[group])
	}
	if b.g[once] == 40+1 && !r.dwell() {
		return
	}
	if g := b.g[planes]; g != 0 {
		r.note('G', g, b.gAt[planes])
		r.plane = int(g-1) / 10
	}
	if g := b.g[units]; g != 0 {
		r.note('G', g, b.gAt[units])
		r.mm = 1
		if g == 200+1 {
			r.mm = 25.4
		}
	}
	for _, group := range [...]int{radii, lengths, systems, pathModes} {
		r.note('G', b.g[group], b.gAt[group])
	}
	if g := b.g[distances]; g != 0 {
		r.note('G', g, b.gAt[distances])
		r.relative = g == 910+1
	}
	r.note('G', b.g[retracts], b.gAt[retracts])
	if !r.shift() || !r.move() {
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

// dwell waits, section 3.5.4.
func (r *reader) dwell() bool {
	p, ok := r.b.word('P')
	if !ok || p < 0 {
		r.fault(int(r.b.gAt[once]), 2, "dwell", "write P and the seconds, such as G4 P0.5", "G4 needs P with the seconds to wait, not less than nothing")
		return false
	}
	r.noteWord('G', 4, r.b.gAt[once])
	return r.add(Move{Kind: Dwell, To: r.at, Seconds: p})
}

// shift moves the zero, section 3.5.18.
func (r *reader) shift() bool {
	b := &r.b
	g := b.g[once]
	switch g - 1 {
	case 920:
		if !b.has['X'-'A'] && !b.has['Y'-'A'] && !b.has['Z'-'A'] {
			r.fault(int(b.gAt[once]), 3, "no-axis", "write X, Y or Z, or take G92 away", "G92 stands without X, Y or Z")
			return false
		}
		for _, axis := range [...]Axes{X, Y, Z} {
			letter := axisLetter(axis)
			v, ok := b.word(letter)
			if !ok {
				continue
			}
			if r.path.Stated&axis == 0 {
				r.faultWord(letter, "unknown-start", "move there first, or set the zero at the machine", "G92 names the place where the machine stands, which the program has not said")
				return false
			}
			*coordinate(&r.zero, axis) = *coordinate(&r.at, axis) - float64(v*r.mm)
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
func (r *reader) move() bool {
	b := &r.b
	var stated Axes
	for _, axis := range [...]Axes{X, Y, Z} {
		if b.has[axisLetter(axis)-'A'] {
			stated |= axis
		}
	}
	g := int(b.g[motions]) - 1
	if b.g[once] == 920+1 {
		if g >= 0 {
			r.fault(int(b.gAt[once]), 3, "twice", "put G92 on a line of its own", "G92 and a motion both want the axis words of the line")
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
		r.fault(int(b.gAt[motions]), 2, "no-axis", "write X, Y or Z after it", "%s stands without X, Y or Z", gName(g))
		return false
	}
	if r.motion < 0 {
		at := len(r.line)
		for _, axis := range [...]Axes{X, Y, Z} {
			if stated&axis != 0 {
				at = min(at, int(b.at[axisLetter(axis)-'A']))
			}
		}
		r.fault(at, 1, "no-motion", "write G0, G1, G2 or G3 before it", "no motion word says how to go there")
		return false
	}
	to, ok := r.target(stated)
	if !ok {
		return false
	}
	m := Move{Kind: Rapid, Stated: stated, To: to}
	if r.motion > 0 {
		m.Kind, m.Feed = Feed, r.feed
	}
	if r.motion >= 20 {
		m.Kind = Arc
		if m.Turn, ok = r.arc(stated, to); !ok {
			return false
		}
		if r.turned += m.Turn.count(chordError); r.turned > MaxChords {
			r.fault(0, 1, "too-much", "split the program", "the arcs of the program want more than %d chords", MaxChords)
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

// target is the place that the axis words state, in mm.
func (r *reader) target(stated Axes) (Point, bool) {
	to := r.at
	for _, axis := range [...]Axes{X, Y, Z} {
		if stated&axis == 0 {
			continue
		}
		letter := axisLetter(axis)
		v, c := float64(r.b.value[letter-'A']*r.mm), coordinate(&to, axis)
		switch {
		case !r.relative:
			*c = v + *coordinate(&r.zero, axis)
		case r.path.Stated&axis == 0:
			r.faultWord(letter, "unknown-start", "write G90 and go to a place first", "%c goes on from a place that the program has not said", letter)
			return to, false
		default:
			*c += v
		}
		if *c > MaxCoord || *c < -MaxCoord {
			r.faultWord(letter, "far-away", "write a place that the machine can reach", "%c leads %s mm away, farther than any machine", letter, plain(*c))
			return to, false
		}
	}
	return to, true
}

// add puts a move on the path and goes there.
func (r *reader) add(m Move) bool {
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

// note keeps a G word, given in tenths plus 1, 0 for none.
func (r *reader) note(letter byte, tenths, at int16) {
	if tenths != 0 {
		r.noteWord(letter, float64(tenths-1)/10, at)
	}
}

// noteM keeps an M word, given as its number plus 1, 0 for none.
func (r *reader) noteM(number, at int16) {
	if number != 0 {
		r.noteWord('M', float64(number-1), at)
	}
}

func (r *reader) noteWord(letter byte, value float64, at int16) {
	if len(r.path.Words) == MaxNotes {
		r.fault(int(at), 1, "too-much", "split the program", "the program has more than %d words that set how the machine works", MaxNotes)
		r.stop = true
		return
	}
	r.path.Words = append(r.path.Words, Word{Letter: letter, Value: value, Line: r.path.Lines, Column: r.column(int(at)), Moves: len(r.path.Moves)})
}

func (r *reader) faultWord(letter byte, code, mend, format string, args ...any) {
	r.fault(int(r.b.at[letter-'A']), 1, code, mend, format, args...)
}
