package motion

// AirRun is the plan of a layer raised over the paper, as a rehearsal: the same way
// at the same feeds, with the deepest place of all at a height in mm, and nowhere
// higher than the safe height. It pauses and waits nowhere,
// and goes to no well.
func (p Plan) AirRun(height float64) Plan {
	lowest := p.Safe
	for _, s := range p.Strokes {
		for _, m := range s.Moves {
			lowest = min(lowest, m.Z)
		}
	}
	step := int32(10)
	if p.Decimals >= 4 {
		step = 1
	}
	raise := axes{step: step}.up(height) - lowest
	strokes := make([]Stroke, len(p.Strokes))
	at := p.Rest
	at.Z = p.Start
	for i, s := range p.Strokes {
		rests, visit := s.Pause != "" || s.Dry > 0, s.Visit
		s.Pause, s.Wait, s.Dry, s.Visit = "", 0, 0, nil
		moves := make([]Move, 0, len(s.Moves))
		if p.Clamps != nil && rests {
			moves = p.byRest(at, s.Away, p.raised(s.Moves[0].Z, raise))
		}
		if p.Clamps != nil && visit != nil { // high over the clamps, as from the well
			at.Z, at.Feed = visit.Moves[0].Z, 0
			moves = append(moves, at, visit.Moves[len(visit.Moves)-1])
		}
		for _, m := range s.Moves {
			m.Z = p.raised(m.Z, raise)
			moves = append(moves, m)
		}
		s.Moves = moves
		at = moves[len(moves)-1]
		strokes[i] = s
	}
	p.Strokes, p.Hover, p.Boxes = strokes, p.Safe, nil
	return p
}

// raised is a raised height; travel over clamps stays as high as it is.
func (p Plan) raised(z, raise int32) int32 { return max(z, min(z+raise, p.Safe)) }

// byRest is the way from where a stroke ended by the place to rest to the travel of
// the next: an air run does not wait there, but goes no other way past the clamps.
func (p Plan) byRest(at Move, away Retreat, to int32) []Move {
	at.Z, at.Feed = max(at.Z, away.Z, p.Safe), 0
	out := []Move{at}
	for _, v := range away.Via {
		at.X, at.Y = v.X, v.Y
		out = append(out, at)
	}
	at.X, at.Y = p.Rest.X, p.Rest.Y
	out = append(out, at)
	at.Z = to
	return append(out, at)
}
