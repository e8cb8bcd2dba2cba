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
	for i, s := range p.Strokes {
		s.Pause, s.Wait, s.Dry, s.Visit = "", 0, 0, nil
		moves := make([]Move, len(s.Moves))
		for k, m := range s.Moves {
			m.Z = min(m.Z+raise, p.Safe)
			moves[k] = m
		}
		s.Moves = moves
		strokes[i] = s
	}
	p.Strokes, p.Hover, p.Boxes = strokes, p.Safe, nil
	return p
}
