package proof

import (
	"bytes"
	"math"
)

// interpreter executes the program line by line.
type interpreter struct {
	words
	mover mover
	ended bool
}

// Read reads a program. The path contains everything that could be followed and
// the faults in the order of the text, which are also returned. A line with a
// fault moves nothing. Until the program sets them, lengths are in mm,
// coordinates absolute and feeds in mm/min; Check requires that it sets them.
//
// What cannot be followed is a fault too: parameters and formulas, block
// delete, rotary axes, cycles, probing, and whatever depends on a value stored
// in the machine (G10, G28, G30, G41 to G43, G53, G55 to G59.3).
func Read(name string, program []byte) (*Path, []Fault) {
	p := &Path{Name: name}
	t := &text{path: p}
	parser := parser{text: t}
	words := words{text: t, block: &parser.block}
	machine := interpreter{words: words, mover: mover{words: words, unit: 1, plane: 17, motion: -1}}
	if len(program) > MaxBytes {
		p.Lines = 1
		t.fault(0, 0, "too-much", "split the program", "the program has %d bytes, at most %d are read", len(program), MaxBytes)
		return p, p.Faults
	}
	p.Moves = make([]Move, 0, mostMoves(program))
	marked := false // the program began with a line of %
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

// mostMoves is how many moves a program of the usual form can have: its lines
// that begin with a word for one. Others, too, are read, at the price of memory
// that is wasted while the list of moves grows.
func mostMoves(program []byte) int {
	n := 0
	for len(program) > 0 && n < MaxMoves {
		switch program[0] {
		case 'G', 'X', 'Y', 'Z', 'M', 'N':
			n++
		}
		end := bytes.IndexByte(program, '\n')
		if end < 0 {
			break
		}
		program = program[end+1:]
	}
	return n
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
	if !b.hasOtherLetter {
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
	return r.mover.motion == 20 || r.mover.motion == 30
}

// execute executes the line in the order of execution of table 8.
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
		r.mover.relative = g == 910+1
	}
	r.note('G', b.g[retracts], b.gAt[retracts])
	if !r.mover.shiftZero() || !r.mover.move() {
		return
	}
	if m := b.m[stops]; m != 0 {
		r.noteM(m, b.mAt[stops])
		switch m - 1 {
		case 2, 30:
			r.ended, r.path.End = true, r.path.Lines
		default:
			r.mover.add(Move{Kind: Pause, To: r.mover.at})
		}
	}
}

// setFeedMode executes G93 and G94. The feed of one mode is unknown in the other.
func (r *interpreter) setFeedMode() {
	g := r.block.g[feedModes]
	r.note('G', g, r.block.gAt[feedModes])
	switch g {
	case 930 + 1:
		r.mover.inverse, r.mover.feed = true, 0
	case 940 + 1:
		if r.mover.inverse {
			r.mover.feed = 0
		}
		r.mover.inverse = false
	}
	r.mover.perMove = 0
}

// setFeed executes F.
func (r *interpreter) setFeed() bool {
	f, ok := r.block.word('F')
	switch {
	case !ok:
	case f < 0:
		r.faultWord('F', "feed", "write a feed above zero", "the feed is negative")
		return false
	case r.mover.inverse:
		r.mover.perMove = f
	default:
		r.mover.feed = float64(f * r.mover.unit)
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
		case letter == 'T' && math.Abs(v-math.Round(v)) > 0.0001: // section 3.7.3
			r.faultWord(letter, "number", "take the word away", "T has a fraction, and tools have whole numbers")
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
		r.mover.plane = int(g-1) / 10
	}
	if g := b.g[units]; g != 0 {
		r.note('G', g, b.gAt[units])
		r.mover.unit = 1
		if g == 200+1 {
			r.mover.unit = 25.4
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
	return r.mover.add(Move{Kind: Dwell, To: r.mover.at, Seconds: p})
}
