// Package proof reads a machine program back and finds out what it really does:
// its path, strokes and time, whether it keeps the rules that protect brush,
// sheet, machine and hand, and what the brush leaves on the paper.
//
// It imports only the standard library and shares no code with what writes
// programs: a second copy of the same code would prove nothing. Limits, brush
// and drawn areas are given as plain values.
//
// Lengths are in mm, feeds in mm/min, accelerations in mm/s², times in
// seconds, angles in radians. Coordinates are those of the program as the
// machine executes it: Z 0 is the first touch of the paper, the brush is in
// contact where Z is 0 or less, and a press p is Z = -p.
//
// Source of the language: T. R. Kramer, F. M. Proctor, E. Messina, The NIST
// RS274/NGC Interpreter - Version 3, NISTIR 6556, 17 August 2000; section
// numbers in comments refer to it.
//
// To get the same bytes on every processor, whatever can decide a byte of
// output uses only + - * / and square roots, and converts products before they
// are added.
package proof

import "fmt"

// Bounds on what is read. They count what the text contains, never time, so
// that the result is the same on every computer.
const (
	MaxBytes  = 128 << 20  // of program text
	MaxMoves  = 8_000_000  // moves, dwells and pauses
	MaxNotes  = 200_000    // of Words, and as many comments
	MaxChords = 20_000_000 // chords that replace arcs
	MaxFaults = 100        // reading stops there
	MaxLine   = 256        // characters of a line, section 3.3
	MaxCoord  = 1e6        // mm a coordinate may be from zero
)

// Point is a position in the program's coordinates, mm.
type Point struct{ X, Y, Z float64 }

// Kind is the kind of a move.
type Kind int8

// The kinds of move.
const (
	Rapid Kind = iota // G0
	Feed              // G1
	Arc               // G2, G3
	Dwell             // G4
	Pause             // M0, M1, M60: until the operator continues
)

func (k Kind) String() string {
	return [...]string{"rapid", "feed", "arc", "dwell", "pause"}[k]
}

// Axes is a set of axes.
type Axes uint8

// The axes.
const (
	X Axes = 1 << iota
	Y
	Z
)

// Move is one thing that the machine does.
type Move struct {
	Kind Kind
	// Stated are the axes whose words are on the line, Unknown those whose
	// coordinate was not known before it. For those, From has the first value
	// that the program states later, so that lengths are not counted twice.
	Stated, Unknown Axes
	// OwnMotion and OwnFeed say that the line has a motion word and F itself.
	OwnMotion, OwnFeed bool
	Visit              bool // beside the sheet: to a well, over its rim, on scrap; Visiting sets it

	Line     int // from 1
	From, To Point
	Feed     float64 // along the path, mm/min; 0 for a rapid, and if none was set
	Seconds  float64 // of a dwell
	Helix    *Helix  // of an arc
}

// Helix is the shape of an arc: part of a circle in a plane, while the third
// axis moves evenly.
type Helix struct {
	Plane   int     // 17 XY, 18 ZX, 19 YZ
	Centre  Point   // the coordinate across the plane is that of From
	Sweep   float64 // radians, positive counter-clockwise seen from the positive end of the third axis
	Radius  float64 // at From
	EndsOff float64 // radius at To less that at From
}

// Word is a word that sets or switches something: every G word except G0 to G3,
// every M, S and T word.
type Word struct {
	Letter       byte
	Value        float64
	Line, Column int
	Moves        int // number of moves before it took effect
}

func (w Word) String() string { return string(w.Letter) + plain(w.Value) }

// Comment is the text between round brackets.
type Comment struct {
	Text    string
	Message bool // begins with "MSG,": the machine shows it
	Line    int
	Column  int
}

// Path is a program as read.
type Path struct {
	Name     string
	Lines    int
	Moves    []Move
	Words    []Word
	Comments []Comment
	// Stated are the axes that the program states at all.
	Stated Axes
	// End is the line of M2 or M30, 0 if there is none. After is the first line
	// after the end that is not empty, 0 if there is none.
	End, After int
	Faults     []Fault
	// Longest is the number of characters of the longest line, LongestAt that line.
	Longest, LongestAt int
	// FirstWord is the first line with a word, 0 if there is none.
	FirstWord int
	// Unnumbered is the first line with a word that does not begin with N, 0 if
	// there is none.
	Unnumbered int

	written *Path // with the heights of the program, if these are over the paper
}

// Last is where the program leaves the machine.
func (p *Path) Last() Point {
	if len(p.Moves) == 0 {
		return Point{}
	}
	return p.Moves[len(p.Moves)-1].To
}

// Fault is a part of the text that a machine would refuse, or whose effect
// depends on what the machine has stored.
type Fault struct {
	File         string
	Line, Column int    // from 1, in characters
	Code         string // kind of fault, in short words with hyphens
	Text         string // the part at fault
	Message, Fix string // what is wrong, and how to fix it
}

// String is position, message and code in one line.
func (f Fault) String() string {
	return fmt.Sprintf("%s:%d:%d: %s [%s]", f.File, f.Line, f.Column, f.Message, f.Code)
}
