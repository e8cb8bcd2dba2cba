package trial

import (
	"fmt"
	"strings"

	"mahlstick/recipe/format"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
)

// Note says of one trial which readings are its own and what to look for.
type Note struct {
	Trial       string
	First, Last int // its readings
	Text        string
}

// Notes are the notes on a job's trials, in their order.
func Notes(readings []Reading, job *model.Job) []Note {
	var out []Note
	for i := range job.Trials {
		t := &job.Trials[i]
		n := Note{Trial: t.Name, Text: lookFor(t, job)}
		for _, r := range readings {
			if r.Trial != t.Name {
				continue
			}
			if n.First == 0 {
				n.First = r.Number
			}
			n.Last = r.Number
		}
		if n.First > 0 {
			out = append(out, n)
		}
	}
	return out
}

// lookFor says how the marks of a trial are measured.
func lookFor(t *model.Trial, job *model.Job) string {
	switch t.Kind {
	case model.Ladder:
		return "Measure the width in the middle of each mark; write 0 if there is none. The first mark that shows is the touch. " +
			"The short mark after each rung is light: the last rung before these grow is the safe press."
	case model.Ramp:
		return "Measure the width at each number."
	case model.Rings:
		return "Measure the outer and the inner diameter, and write half their sum."
	case model.Corners:
		return "Measure how far the middle of the mark passes from where its legs would meet."
	case model.Feeds:
		return "Measure the width in the middle. Note under Results which marks are broken."
	case model.Dwell:
		var times []string
		for _, share := range measure.HeldShares {
			times = append(times, format.Page.Number(hundredths(t.Held*share), 2))
		}
		return "Measure each dot along x, then along y. They are held for " + strings.Join(times, ", ") + " s."
	case model.RunOut:
		lanes, length, pitch := runOutLanes(newBench(t, job, sheetArea(job)))
		return fmt.Sprintf("First the length of path until the mark is even, then until it first breaks. There are %s of %s, %s apart.",
			format.Count(lanes, "lane"), format.Page.Length(length), format.Page.Length(pitch))
	case model.Touches:
		return "Measure each dot along x, then along y. Note the reading of Z at each touch-off under Results."
	case model.Tips:
		return "Measure from the middle of the cross to the middle of the dot: along x, then along y (up is more than 0)."
	case model.SetOff:
		return "Press blotting paper on one mark after the other, 10 s, 30 s, 1 min, 3 min, 10 min and 30 min after the last is painted. " +
			"Measure the width of the ink on the blotting paper; write 0 if it stays clean."
	}
	return ""
}
