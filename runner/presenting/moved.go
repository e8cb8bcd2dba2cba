package presenting

import (
	"fmt"

	"mahlstick/runner/logbook"
	"mahlstick/runner/stage"
)

// GoesOn is a program that goes on with a layer where the sheet was moved within it.
type GoesOn struct {
	From, To int // strokes
	stage.Proven
}

// Row is its row of Results.
func (g GoesOn) Row() string {
	return fmt.Sprintf("| %s | %d |  | %d | %s |", g.Model.Name, g.From, g.To, g.File)
}

// addMoved gives each layer the programs that go on with it, and its stroke map their
// lines.
func addMoved(p *logbook.Page, j Job) {
	for _, g := range j.Moved {
		v := &p.Layers[g.Number-1]
		program := Program{g.File, g.Program}.view()
		program.Hash = g.Hash
		v.GoesOn = append(v.GoesOn, logbook.GoesOn{Program: program, From: g.From, To: g.To, Lies: Lying(g.Model.Seating), Row: g.Row()})
		for i, s := range g.Measures.Strokes {
			row := &v.Brushstrokes[g.From+i-1]
			row.File, row.Line, row.Starts = g.File, s.StartLine, s.Starts
		}
	}
}
