package motion

// Resumed makes the plan of a part of a layer one by which painting goes on: its
// strokes have the numbers that they have in the layer, from first on, and the
// painter does something before the first, while the machine waits at its place
// to rest.
func (p Plan) Resumed(first int, pause string) Plan {
	strokes := make([]Stroke, len(p.Strokes))
	copy(strokes, p.Strokes)
	for i := range strokes {
		strokes[i].Number = first + i
	}
	if len(strokes) > 0 {
		strokes[0].Pause = pause
	}
	p.Strokes = strokes
	return p
}
