// Package program writes moves as the text of a machine program: one block a
// line, with the words of ISO 6983-1 and of its open description, NISTIR 6556
// (T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter,
// 2000). Nothing else in the project writes programs.
//
// A program has no word for a spindle or coolant, not even one that switches it
// off: a brush needs neither. The words used are G0 G1 G17 G21 G40 G49 G90 G94
// M0 M2 F X Y Z.
package program

import (
	"strconv"

	"mahlstick/recipe/format"
	"mahlstick/runner/motion"
	"mahlstick/runner/stroke"
)

// Head is what the comments at the top of a program say; any text is allowed.
type Head struct {
	Job        string // "heron"
	Title      string // "Heron at first light"
	Number, Of int    // layer Number of Of, in the order of painting
	Layer      string
	Brush      string
	Ink        string
	// Hash is that of everything that can change a byte of the program, in
	// hexadecimal digits.
	Hash  string
	Strip []motion.StripMark // the check strip with which the plan begins, if any
}

// Layer is the program of one layer: lift, the strokes, lift, to the place to
// rest, pause, end. Each stroke begins with a comment line "(stroke N)" and sets its own motion,
// position and feed. After a check strip the brush goes to the place
// to rest and the program pauses.
//
// Lines end with a line feed and have at most 80 characters (256 are allowed);
// coordinates have the plan's decimals, feeds are whole mm/min. The same head
// and plan give the same bytes.
func Layer(h Head, p motion.Plan) []byte {
	w := newWriter(p.Decimals)
	w.head(h)
	checks := 0
	for _, s := range p.Strokes {
		if s.Kind == stroke.Check {
			checks++
		}
	}
	size := format.Count(len(p.Strokes)-checks, "stroke")
	if checks > 0 {
		size = format.Count(checks, "check mark") + " and " + size
	}
	w.comment("about " + format.Plain.Duration(p.Seconds) + ": " + size + ", " + format.Plain.Length(p.Painted) + " painted")
	w.axes()
	deepest := 0.0
	for _, s := range p.Strokes {
		deepest = max(deepest, s.Deepest)
	}
	w.comment("travels at Z" + w.number(p.Safe) + "; deepest Z" + fixed(-deepest, p.Decimals))
	w.waits("at each pause and at the end", p.Rest)
	w.comment("touch off Z only: lower the wet brush in smaller and smaller steps until the faintest speck of ink shows, and set Z zero there. Leave X and Y alone while this sheet is on the bed.")
	if len(h.Strip) > 0 {
		text := "check strip: at the pause, measure"
		for i, m := range h.Strip {
			if i > 0 {
				text += ","
			}
			text += " " + m.Name + " " + fixed(m.Width, 2) + " mm"
		}
		w.comment(text + ". Resume only if they agree.")
	}
	w.cautions()
	w.setup()
	w.lift(p.Safe)
	for _, s := range p.Strokes {
		if s.Pause {
			w.comment("check strip done: measure it, then resume")
			w.rest(p.Rest)
			w.pause()
			w.lift(p.Safe)
		}
		w.comment("stroke " + strconv.Itoa(s.Number))
		w.forget()
		for _, m := range s.Moves {
			w.move(m)
		}
	}
	w.comment("end")
	w.rest(p.Rest)
	w.pause()
	w.line("M2")
	return w.out
}

// Walk is the program of the margin walk: lift, pause, round the outline at
// the walk's height, to the place to rest, end.
func Walk(h Head, walk motion.Walk) []byte {
	w := newWriter(walk.Decimals)
	w.head(h)
	w.comment("margin walk: travels round everything that will be painted, at Z" + w.number(walk.Height) + ", about " + format.Plain.Duration(walk.Seconds))
	w.axes()
	w.waits("at the end", walk.Rest)
	w.comment("mount the first brush, dry, and touch it off. Then run this and watch that brush and holder clear clamps and tape.")
	w.cautions()
	w.setup()
	w.lift(walk.Height)
	w.pause()
	w.lift(walk.Height)
	for i, m := range walk.Moves {
		if i > 0 {
			w.move(m)
		}
	}
	w.rest(walk.Rest)
	w.line("M2")
	return w.out
}

// head writes who the program is for and what it was made from.
func (w *writer) head(h Head) {
	if h.Title != "" {
		w.comment("title: " + h.Title)
	}
	w.comment("job: " + h.Job)
	if h.Layer != "" {
		w.comment("layer " + strconv.Itoa(h.Number) + " of " + strconv.Itoa(h.Of) + ": " + h.Layer)
		w.comment("brush: " + h.Brush)
		w.comment("ink: " + h.Ink)
	}
	w.comment("hash: " + h.Hash)
}

// waits says where the machine waits.
func (w *writer) waits(when string, at motion.Move) {
	w.comment("waits at X" + w.number(at.X) + " Y" + w.number(at.Y) + " Z" + w.number(at.Z) + " " + when)
}

// axes says what the coordinates are.
func (w *writer) axes() {
	w.comment("in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper")
}

// cautions writes the usual cautions; they replace no manual and no local rules.
func (w *writer) cautions() {
	w.comment("caution: unplug the spindle, keep a hand at the stop and fingers clear, and never leave the machine alone while it moves. Its manual and local rules come first. Make an air run before it paints.")
}

// setup sets every mode that the moves rely on: mm, the XY plane, absolute
// coordinates, feed per minute, no compensation of tool radius or length.
func (w *writer) setup() { w.line("G21 G17 G90 G94 G40 G49") }
