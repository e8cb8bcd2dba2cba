// Package program writes moves as the text of a machine program: one block a
// line, with the words of ISO 6983-1 and of its open description, NISTIR 6556
// (T. R. Kramer, F. M. Proctor, E. Messina, The NIST RS274NGC Interpreter,
// 2000). Nothing else in the project writes programs.
//
// A program has no word for a spindle or coolant, not even one that switches it
// off: a brush needs neither. The words used are G0 G1 G17 G21 G40 G49 G90 G94
// M0 M2 F X Y Z (M1 for M0 and M30 for M2 where a controller wants them) and, for waits, G4 P.
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
	Number, Of int    // layer Number of Of, in the order of painting; 0 for the margin walk
	Layer      string
	Brush      string
	Ink        string
	// Hash is that of everything that can change a byte of the program, in
	// hexadecimal digits.
	Hash  string
	Strip []motion.StripMark // the check strip with which the plan begins, if any
	// Crosses are the names of the register marks that are painted next.
	Crosses []string
	// Dwells are where the brush may stay on the paper.
	Dwells []Dwell
	// Resumes says which part of the layer is painted, such as "from stroke 61 to
	// stroke 143, the last"; "" for all of it.
	Resumes string
	// Ends says where the program ends, and which goes on; "" if it paints to the end.
	Ends string
	// Seated says how the sheet lies, if it is not at its stops.
	Seated string
	// InkUse says what the ink is used for; Reloads are the strokes before which the
	// brush is loaded.
	InkUse  string
	Reloads []int
	// Figures were measured of the program itself, without its head.
	Figures Figures
	Text    Text
}

// Text is how the controller wants the text of a program. The zero value is that of
// one that reads everything.
type Text struct {
	Longest  int  // characters of a line; 0 for 80
	HeadOnly bool // comments before the first block only
	Numbered bool // each block begins with N and the number of its line
	End30    bool // ends with M30 instead of M2
	Pause1   bool // pauses with M1 instead of M0
}

// Dwell is a place, in the machine's X and Y, where the brush may stay on the paper: at
// most so deep below it (mm), and for so many seconds.
type Dwell struct{ MinX, MinY, MaxX, MaxY, Depth, Seconds float64 }

// Figures are what a program does, and with what its time was worked out.
type Figures struct {
	Strokes, CheckMarks int
	Crosses             int     // painted register marks
	Length              float64 // of all marks, mm
	Seconds             float64 // rapids included, pauses not
	Travel, ZFeed       float64 // mm/min
	Acceleration        float64 // mm/s²
	Corner              float64 // mm by which corners may be cut
	// Axes are the fastest feed and the acceleration of X, Y and Z; zero where the
	// machine does not state them.
	Axes [3][2]float64
}

// Layer is the program of one layer: lift, the strokes, lift, to the place to
// rest, pause, end. Each stroke begins with a comment line "(stroke N)" and sets its own motion,
// position and feed. After a check strip the brush goes to the place
// to rest and the program pauses.
//
// Lines end with a line feed. Comments are broken at the longest line of the head's
// Text, 80 characters if it states none (256 are allowed); a block is never broken.
// coordinates have the plan's decimals, feeds are whole mm/min. The same head
// and plan give the same bytes.
func Layer(h Head, p motion.Plan) []byte {
	moves := 0
	for _, s := range p.Strokes {
		moves += len(s.Moves) + 1 // and its name
	}
	w := newWriter(h.Text, p.Decimals, moves)
	w.heading(h)
	f := h.Figures
	first := 1
	if len(p.Strokes) > 0 {
		first = p.Strokes[0].Number
	}
	if h.Resumes != "" {
		w.comment("resumes this layer " + h.Resumes)
	}
	if h.Ends != "" {
		w.comment("ends " + h.Ends)
	}
	w.comment("about " + format.Plain.Duration(f.Seconds) + ", " + format.Strokes(f.Strokes, f.CheckMarks, f.Crosses) + ", " + format.Plain.Length(f.Length) + " of marks")
	w.timing(f)
	w.axes(h)
	deepest := 0.0
	for _, s := range p.Strokes {
		deepest = max(deepest, s.Deepest)
	}
	travels := "travels at Z" + w.number(p.Safe)
	if p.Hover < p.Safe {
		travels += ", between near strokes at Z" + w.number(p.Hover) + ", where lowering begins"
	}
	if p.Ground != nil && len(p.Ground.Touches) > 0 {
		w.comment(travels + "; Z follows the paper, pressed at most " + fixed(deepest, p.Decimals) + " below it")
	} else {
		w.comment(travels + "; deepest Z" + fixed(-deepest, p.Decimals))
	}
	w.waits("at each pause and at the end", p.Rest)
	dwells(w, h.Dwells)
	w.comment("touch off Z only: lower the wet brush in smaller and smaller steps until the faintest speck of ink shows, and set Z zero there. Leave X and Y alone while this sheet is on the bed.")
	ground(w, p.Ground)
	if len(h.Strip) >= first {
		text := "check strip: at the pause, measure"
		for i, m := range h.Strip {
			if i > 0 {
				text += ","
			}
			text += " " + m.Name + " " + fixed(m.Width, 2) + " mm"
		}
		w.comment(text + ". Resume only if they agree.")
	}
	if len(h.Strip)+stroke.CrossArms*len(h.Crosses) >= first && len(h.Crosses) > 0 {
		w.comment("paints a cross with an open middle at each of these register marks: " + format.List(h.Crosses) + ". The middle is the mark.")
	}
	if h.InkUse != "" {
		text := "ink used: " + h.InkUse
		if len(p.Boxes) == 0 {
			text += reloads(h.Reloads)
		}
		w.comment(text)
	}
	wells(w, h, p)
	w.cautions()
	clamps(w, p.Clamps)
	setUp(w)
	w.lift(max(p.Start, p.Safe))
	paint(w, h, p)
	w.comment("end")
	retreat(w, p.Safe, p.Home, p.Rest)
	w.pause()
	end(w)
	return w.out
}

// paint writes the strokes, each after what is waited for.
func paint(w *writer, h Head, p motion.Plan) {
	for _, s := range p.Strokes {
		if s.Pause != "" {
			w.comment(s.Pause)
			retreat(w, p.Safe, s.Away, p.Rest)
			s.Away = motion.Retreat{}
			w.pause()
			w.lift(p.Safe)
		}
		if s.Dry > 0 {
			dry(w, s, p)
		}
		if s.Visit != nil {
			visitWell(w, h, s.Visit)
		}
		w.comment(strokeName(s, h))
		liftTo(w, s.Moves[0].Z)
		w.forget()
		for i, m := range s.Moves {
			if i == len(s.Moves)-1 {
				w.wait(s.Wait)
			}
			w.move(m)
		}
	}
}

// dry waits at the place to rest until what a stroke touches is dry.
func dry(w *writer, s motion.Stroke, p motion.Plan) {
	w.comment("waits until it is dry")
	retreat(w, p.Safe, s.Away, p.Rest)
	w.wait(s.Dry)
	w.lift(p.Safe)
	w.forget()
}

// reloads says before which strokes a program pauses to have the brush loaded.
func reloads(before []int) string {
	if len(before) == 0 {
		return ", no pause to load the brush"
	}
	var numbers []string
	for _, n := range before {
		numbers = append(numbers, strconv.Itoa(n))
	}
	return ", pauses to load the brush before stroke " + format.List(numbers)
}

// AirRun is the rehearsal of a layer, whose plan was raised above the paper: pause,
// the strokes, to the place to rest, end.
func AirRun(h Head, p motion.Plan, lowest float64) []byte {
	w := newWriter(h.Text, p.Decimals, 0)
	w.heading(h)
	w.comment("air run of this layer: its whole way at its full speed, above the paper, the deepest place at Z" + fixed(lowest, p.Decimals) + ", about " + format.Plain.Duration(h.Figures.Seconds))
	w.timing(h.Figures)
	w.axes(h)
	w.waits("at the end", p.Rest)
	w.comment("mount the dry brush and touch it off. Then run this and watch that brush and holder clear everything; keep a hand at the stop.")
	w.cautions()
	clamps(w, p.Clamps)
	setUp(w)
	w.lift(max(p.Start, p.Safe))
	w.pause()
	w.lift(max(p.Start, p.Safe))
	for _, s := range p.Strokes {
		w.comment(strokeName(s, h))
		liftTo(w, s.Moves[0].Z)
		w.forget()
		for _, m := range s.Moves {
			w.move(m)
		}
	}
	w.comment("end")
	retreat(w, p.Safe, p.Home, p.Rest)
	end(w)
	return w.out
}

// Walk is the program of the margin walk: lift, pause, round the outline at
// the walk's height, to the place to rest, end.
func Walk(h Head, walk motion.Walk) []byte {
	w := newWriter(h.Text, walk.Decimals, len(walk.Moves))
	w.heading(h)
	w.comment("margin walk: travels round everything that will be painted, at Z" + w.number(walk.Height) + ", about " + format.Plain.Duration(h.Figures.Seconds))
	w.timing(h.Figures)
	w.axes(h)
	w.waits("at the end", walk.Rest)
	w.comment("mount the first brush, dry, and touch it off. Then run this and watch that brush and holder clear clamps and tape.")
	w.cautions()
	clamps(w, walk.Clamps)
	setUp(w)
	w.lift(max(walk.Start, walk.Height))
	w.pause()
	w.lift(max(walk.Start, walk.Height))
	for i, m := range walk.Moves {
		if i > 0 {
			w.move(m)
		}
	}
	w.rest(walk.Rest)
	end(w)
	return w.out
}

// Marks is the program that carries the tip over the register marks: lift, pause,
// over each mark at the safe height, a pause there, to the place to rest, end.
func Marks(h Head, tour motion.Tour) []byte {
	return visits(h, tour, visit{"register marks: carries the tip over each mark", "mark ", ", expected at",
		"mount this layer's brush, dry, and touch it off, Z only. At each pause move the tip by hand until it is over the middle of the mark, and write down X and Y. If the machine cannot be moved during a pause, stop the program, move, and run it again for the next mark."})
}

// Heights is the program that carries the tip over the places at which the height
// of the paper is touched.
func Heights(h Head, tour motion.Tour, touchOff motion.Move) []byte {
	w := newWriter(h.Text, tour.Decimals, 0)
	return visits(h, tour, visit{"heights of the paper: carries the tip over each place", "place ", " at",
		"mount the first brush, dry, and touch it off with the axes at X" + w.number(touchOff.X) + " Y" + w.number(touchOff.Y) +
			". At each pause lower the tip by hand until it just touches the paper, write down Z, and lift it again. If the machine cannot be moved during a pause, stop the program, move, and run it again for the next place. If Z shows a height above the safe height, stop: the bed is out of true."})
}

// visit is what a program says that carries the tip over places.
type visit struct{ what, place, at, how string }

// visits is a program that carries the tip over places and waits over each.
func visits(h Head, tour motion.Tour, v visit) []byte {
	w := newWriter(h.Text, tour.Decimals, len(tour.Stops))
	w.heading(h)
	w.comment(v.what + " at Z" + w.number(tour.Height) + " and waits there, about " + format.Plain.Duration(h.Figures.Seconds) + " without the waits")
	w.timing(h.Figures)
	w.axes(h)
	w.waits("at the end", tour.Rest)
	w.comment(v.how)
	w.cautions()
	clamps(w, tour.Clamps)
	setUp(w)
	w.lift(max(tour.Start, tour.Height))
	w.pause()
	for _, stop := range tour.Stops {
		w.lift(stop.Way[0].Z)
		w.comment(v.place + stop.Mark + v.at + " X" + w.number(stop.At.X) + " Y" + w.number(stop.At.Y))
		for _, m := range stop.Way {
			w.move(m)
		}
		w.pause()
	}
	w.lift(max(tour.Height, tour.Home.Z))
	retreat(w, 0, tour.Home, tour.Rest)
	end(w)
	return w.out
}

// strokeName is how a program calls a stroke: by its number, and a check mark
// also by its letter, an arm of a register mark by the name of the mark.
func strokeName(s motion.Stroke, h Head) string {
	name := "stroke " + strconv.Itoa(s.Number)
	if s.Number <= len(h.Strip) {
		return name + ", check mark " + h.Strip[s.Number-1].Name
	}
	if s.Name != "" {
		return name + ", " + s.Name
	}
	if arm := s.Number - 1 - len(h.Strip); arm < len(h.Crosses)*stroke.CrossArms {
		name += ", arm " + strconv.Itoa(arm%stroke.CrossArms+1) + " of register mark " + h.Crosses[arm/stroke.CrossArms]
	}
	return name
}

// timing says with what the time was worked out, so that whoever
// reads the program comes to the same.
func (w *writer) timing(f Figures) {
	number := func(v float64) string { return format.Plain.Number(v, 3) }
	w.comment("timed with travel " + number(f.Travel) + ", z " + number(f.ZFeed) + ", acceleration " + number(f.Acceleration) + ", corner " + number(f.Corner))
	if f.Axes == [3][2]float64{} {
		return
	}
	for i, axis := range [...]string{"x ", "y ", "z "} {
		w.comment("timed by axis " + axis + number(f.Axes[i][0]) + " " + number(f.Axes[i][1]))
	}
}

// heading writes who the program is for and what it was made from.
func (w *writer) heading(h Head) {
	if h.Title != "" {
		w.comment("title: " + h.Title)
	}
	w.comment("job: " + h.Job)
	if h.Number > 0 {
		w.comment("layer " + strconv.Itoa(h.Number) + " of " + strconv.Itoa(h.Of) + ": " + h.Layer)
	}
	w.comment("brush: " + h.Brush)
	if h.Ink != "" {
		w.comment("ink: " + h.Ink)
	}
	w.comment("hash: " + h.Hash)
}

// waits says where the machine waits.
func (w *writer) waits(when string, at motion.Move) {
	w.comment("waits at X" + w.number(at.X) + " Y" + w.number(at.Y) + " Z" + w.number(at.Z) + " " + when)
}

// dwells says where the brush may stay on the paper, each on a line of its own, so
// that whoever reads the program knows which waits are meant.
func dwells(w *writer, places []Dwell) {
	for _, d := range places {
		w.comment("may stay in X" + fixed(d.MinX, 2) + " to " + fixed(d.MaxX, 2) + ", Y" + fixed(d.MinY, 2) + " to " + fixed(d.MaxY, 2) +
			", Z" + fixed(-d.Depth, 2) + " for " + fixed(d.Seconds, 2) + " s")
	}
}

// axes says what the coordinates are.
func (w *writer) axes(h Head) {
	if h.Seated != "" {
		w.comment("in mm: Z0 is the first touch of the paper; X and Y count from the machine's zero. " + h.Seated)
		return
	}
	w.comment("in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper")
}

// cautions writes the usual cautions; they replace no manual and no local rules.
func (w *writer) cautions() {
	if w.text.Pause1 {
		w.comment("caution: it pauses by M1. Switch the optional stop of the controller on, or it runs through its pauses.")
	}
	w.comment("caution: unplug the spindle, keep a hand at the stop and fingers clear, and never leave the machine alone while it moves. Its manual and local rules come first. Make an air run before it paints.")
}

// setUp sets every mode that the moves rely on: mm, the XY plane, absolute
// coordinates, feed per minute, no compensation of tool radius or length.
func setUp(w *writer) {
	w.head = false
	block := ""
	for _, word := range [...]string{"G21", "G17", "G90", "G94", "G40", "G49"} {
		if len(prefix(w))+len(block)+1+len(word) > longest(w) && block != "" {
			w.line(block)
			block = ""
		}
		if block != "" {
			block += " "
		}
		block += word
	}
	w.line(block)
}
