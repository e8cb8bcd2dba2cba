package runner

import (
	"errors"
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/recipe/problem"
	"mahlstick/runner/drawing"
	"mahlstick/runner/ink"
	"mahlstick/runner/part"
	"mahlstick/runner/presenting"
	"mahlstick/runner/proving"
	"mahlstick/runner/region"
	"mahlstick/runner/stage"
	"mahlstick/runner/stroke"
)

// movedPart is the part of a layer that is painted after the sheet was moved within
// it for the n-th time, from 0.
func movedPart(l *model.Layer, n, last int) part.Part {
	p := part.Part{From: l.Moves[n].From, To: last}
	if n+1 < len(l.Moves) {
		p.To = l.Moves[n+1].From - 1
	}
	return p
}

// onSheetAsItLies is a layer as a part of it is painted: on the sheet as it lay then,
// if a run makes the part, any other on the sheet as it lies at the end of the layer.
func onSheetAsItLies(l *model.Layer, p part.Part, last int) *model.Layer {
	if len(l.Moves) == 0 {
		return l
	}
	now := *l
	now.Seating, now.Moves = l.Lies(), nil
	for n, s := range l.Moves {
		if movedPart(l, n, last) == p {
			now.Seating = s
		}
	}
	return &now
}

// partMoved parts the layers within which the sheet was moved: the layer's program
// ends there, and others go on. The figures of such a layer stay those of all of it.
func partMoved(r *Result) (problem.List, error) {
	var problems problem.List
	for i := range r.Layers {
		l := &r.Layers[i]
		moves, last := l.Model.Moves, len(l.Motion.Strokes)
		if len(moves) == 0 || l.Trial != nil {
			continue
		}
		beyond := false
		for _, s := range moves {
			if s.From > last {
				problems.Errorf(problem.MovedStroke, s.FromPlace, problem.Advise("write the first stroke that is painted on the sheet as it lies now; the page lists the strokes under Stroke map"),
					"the layer %q has the strokes 1 to %d, so the sheet did not move at stroke %d", l.Model.Name, last, s.From)
				beyond = true
			}
		}
		if beyond {
			continue
		}
		for n := range moves {
			goesOn, err := resumeLayer(r, *l, movedPart(l.Model, n, last))
			var found problem.Problem
			if errors.As(err, &found) {
				found.Related = append(found.Related, problem.Related{Place: moves[n].Place, Note: fmt.Sprintf("the sheet as it lies from stroke %d on, which is stroke 1 above", moves[n].From)})
				problems.Add(found)
				continue
			}
			if err != nil {
				return problems, err
			}
			r.GoesOn = append(r.GoesOn, presenting.GoesOn{From: goesOn.From, To: goesOn.To, Proven: goesOn.Proven})
		}
		if problems.HasErrors() {
			continue
		}
		if err := endBefore(r, l, moves[0].From); err != nil {
			return problems, err
		}
	}
	return problems, nil
}

// endBefore ends the program of a layer before a stroke.
func endBefore(r *Result, l *stage.Proven, from int) error {
	m := l.Moved
	m.Partial, m.Gestures = true, gesturesPainted(l.Moved)[:from-1]
	m.Drawing, m.Regions, m.Lines = &drawing.Drawing{}, &region.Result{}, nil
	m.Plan = &stroke.Plan{Drawn: l.Plan.Drawn}
	m.Motion.Strokes, m.Motion.Remarks = l.Motion.Strokes[:from-1], nil
	m.Strip = l.Strip[:min(len(l.Strip), from-1)]
	m.Crosses = l.Crosses[:min(len(l.Crosses), max(0, from-1-len(l.Strip))/stroke.CrossArms)]
	m.Ink = ink.Again(m.Gestures, m.Model)
	next := movedPart(l.Model, 0, len(l.Motion.Strokes)).FileName(l.File, len(l.Motion.Strokes))
	w, err := writeLayer(m, len(r.Layers), fmt.Sprintf("before stroke %d, at which the sheet was moved; %s goes on", from, next), r.Job)
	if err != nil {
		return err
	}
	short, err := proving.Part(w, l.Written, r.Job)
	if err != nil {
		return err
	}
	l.Program, l.Hash, l.Outcomes = short.Program, short.Hash, short.Outcomes
	for i := range short.Measures.Strokes {
		l.Measures.Strokes[i].StartLine = short.Measures.Strokes[i].StartLine
	}
	return nil
}
