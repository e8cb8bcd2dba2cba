package problem

import "slices"

// Code names the kind of a problem in short words with hyphens, such as
// "unknown-row". Tests match codes, never wording.
type Code string

// All codes. A new one needs its line in explanations.
const (
	AmbiguousMark     Code = "ambiguous-mark"
	AmbiguousNumber   Code = "ambiguous-number"
	BadCount          Code = "bad-count"
	BadSpline         Code = "bad-spline"
	BadValue          Code = "bad-value"
	BarePaper         Code = "bare-paper"
	BeyondReach       Code = "beyond-reach"
	BlockInItself     Code = "block-in-itself"
	ChangedWhileRead  Code = "changed-while-read"
	ChangesNothing    Code = "changes-nothing"
	ClippedShape      Code = "clipped-shape"
	ClosedOutline     Code = "closed-outline"
	ContourOffGrid    Code = "contour-off-grid"
	ContourTangled    Code = "contour-tangled"
	CutOffDrawing     Code = "cut-off-drawing"
	DamagedDrawing    Code = "damaged-drawing"
	DashedStroke      Code = "dashed-stroke"
	DeepNesting       Code = "deep-nesting"
	DefinedTwice      Code = "defined-twice"
	DimensionError    Code = "dimension-error"
	DivisionByZero    Code = "division-by-zero"
	EditionFull       Code = "edition-full"
	EndsCrossing      Code = "ends-crossing"
	FarPicture        Code = "far-picture"
	FitPoints         Code = "fit-points"
	FlatEnds          Code = "flat-ends"
	FormulaLoop       Code = "formula-loop"
	FormulaSyntax     Code = "formula-syntax"
	FormulaTooDeep    Code = "formula-too-deep"
	FormulaTooLong    Code = "formula-too-long"
	GapTooWide        Code = "gap-too-wide"
	GluedText         Code = "glued-text"
	HatchPattern      Code = "hatch-pattern"
	HeadingName       Code = "heading-name"
	HiddenTable       Code = "hidden-table"
	InsideMark        Code = "inside-mark"
	LargeTurn         Code = "large-turn"
	LayerHidden       Code = "layer-hidden"
	LinkLoop          Code = "link-loop"
	LinkRefused       Code = "link-refused"
	LongLine          Code = "long-line"
	LongParagraph     Code = "long-paragraph"
	LostLine          Code = "lost-line"
	MarkOffSheet      Code = "mark-off-sheet"
	MarkOutOfTrue     Code = "mark-out-of-true"
	MarkSizesDiffer   Code = "mark-sizes-differ"
	MarkUnit          Code = "mark-unit"
	MarksDisagree     Code = "marks-disagree"
	MarksSlightlyOff  Code = "marks-slightly-off"
	MirroredDrawing   Code = "mirrored-drawing"
	MissingColumn     Code = "missing-column"
	MissingFile       Code = "missing-file"
	MissingFormula    Code = "missing-formula"
	MissingPicture    Code = "missing-picture"
	MissingRow        Code = "missing-row"
	MissingSection    Code = "missing-section"
	MissingTable      Code = "missing-table"
	MissingTitle      Code = "missing-title"
	MissingUnit       Code = "missing-unit"
	MissingValue      Code = "missing-value"
	MissingWord       Code = "missing-word"
	NoAxis            Code = "no-axis"
	NoBrushCurve      Code = "no-brush-curve"
	NoCurve           Code = "no-curve"
	NoDrawing         Code = "no-drawing"
	NoLink            Code = "no-link"
	NoMark            Code = "no-mark"
	NoPromise         Code = "no-promise"
	NoRegistration    Code = "no-registration"
	NoRoomForStrip    Code = "no-room-for-strip"
	NoSuchBlock       Code = "no-such-block"
	NoSuchLayer       Code = "no-such-layer"
	NoUnit            Code = "no-unit"
	NotACount         Code = "not-a-count"
	NotADrawing       Code = "not-a-drawing"
	NotAFile          Code = "not-a-file"
	NotANotebook      Code = "not-a-notebook"
	NotAQuantity      Code = "not-a-quantity"
	NotAllowed        Code = "not-allowed"
	NotCompared       Code = "not-compared"
	NotRead           Code = "not-read"
	NotText           Code = "not-text"
	NothingToPaint    Code = "nothing-to-paint"
	NumberOutOfRange  Code = "number-out-of-range"
	OffSheet          Code = "off-sheet"
	OpenBoundary      Code = "open-boundary"
	OpenContour       Code = "open-contour"
	OutOfDomain       Code = "out-of-domain"
	OutOfRange        Code = "out-of-range"
	OutOfReach        Code = "out-of-reach"
	OutsideTheBrush   Code = "outside-the-brush"
	PastSafePress     Code = "past-safe-press"
	PlainValue        Code = "plain-value"
	PooledMark        Code = "pooled-mark"
	RawHtml           Code = "raw-html"
	ReservedJob       Code = "reserved-job"
	ReservedName      Code = "reserved-name"
	RowInHeader       Code = "row-in-header"
	RuleRow           Code = "rule-row"
	SameJob           Code = "same-job"
	StretchedWidth    Code = "stretched-width"
	SurplusCell       Code = "surplus-cell"
	TiltedPlane       Code = "tilted-plane"
	TooDeep           Code = "too-deep"
	TooLarge          Code = "too-large"
	TooMany           Code = "too-many"
	TooManyMarks      Code = "too-many-marks"
	TooManyNotebooks  Code = "too-many-notebooks"
	TooManyProblems   Code = "too-many-problems"
	TooMuchWork       Code = "too-much-work"
	TwoColumns        Code = "two-columns"
	TwoSources        Code = "two-sources"
	UnclosedComment   Code = "unclosed-comment"
	UnclosedFence     Code = "unclosed-fence"
	UnescapedBar      Code = "unescaped-bar"
	UnitClash         Code = "unit-clash"
	UnknownBrush      Code = "unknown-brush"
	UnknownColumn     Code = "unknown-column"
	UnknownFence      Code = "unknown-fence"
	UnknownFunction   Code = "unknown-function"
	UnknownInk        Code = "unknown-ink"
	UnknownName       Code = "unknown-name"
	UnknownRow        Code = "unknown-row"
	UnknownSection    Code = "unknown-section"
	UnknownSize       Code = "unknown-size"
	UnknownUnit       Code = "unknown-unit"
	UnknownWord       Code = "unknown-word"
	UnpaintedLayer    Code = "unpainted-layer"
	UnreadStyle       Code = "unread-style"
	Unreadable        Code = "unreadable"
	UnreadableDrawing Code = "unreadable-drawing"
	UnusedBrush       Code = "unused-brush"
	UnusedFormula     Code = "unused-formula"
	UnusedInk         Code = "unused-ink"
	UnusedRow         Code = "unused-row"
	Unusual           Code = "unusual"
	WhichOne          Code = "which-one"
	WhiteShape        Code = "white-shape"
	WidthFormula      Code = "width-formula"
	WorkingLine       Code = "working-line"
	WrongArguments    Code = "wrong-arguments"
	WrongDimension    Code = "wrong-dimension"
	WrongName         Code = "wrong-name"
	WrongNotebook     Code = "wrong-notebook"
	WrongNumber       Code = "wrong-number"
	WrongUncertainty  Code = "wrong-uncertainty"
)

// Explained is a code with one sentence on what is wrong.
type Explained struct {
	Code    Code
	Meaning string
}

var explanations = []Explained{
	{AmbiguousMark, "More than one contour of the drawing may be the registration mark."},
	{AmbiguousNumber, "A comma may part the decimals or the thousands."},
	{BadCount, "A count in the drawing cannot be."},
	{BadSpline, "A spline of the drawing cannot be followed."},
	{BadValue, "A value in the drawing cannot be."},
	{BarePaper, "More than a hundredth of what is drawn on a layer is not painted."},
	{BeyondReach, "A point of the drawing lies farther out than any sheet."},
	{BlockInItself, "A block of the drawing holds a copy of itself."},
	{ChangedWhileRead, "Somebody wrote to a file while it was read."},
	{ChangesNothing, "A section is shown on the page and changes no program."},
	{ClippedShape, "A shape of the drawing is cut off by another, which is not applied."},
	{ClosedOutline, "A layer states the width of lines, and its drawing has closed outlines, which are painted as shapes."},
	{ContourOffGrid, "A contour reaches farther out than any sheet."},
	{ContourTangled, "So many edges of a contour lie on each other that no drawing means it."},
	{CutOffDrawing, "The end of the drawing's file is missing."},
	{DamagedDrawing, "The drawing's file is damaged."},
	{DashedStroke, "A stroke of the drawing is dashed, and is read as one line."},
	{DeepNesting, "Quotes, lists or blanks nest a line too deeply."},
	{DefinedTwice, "Two things have one name, or one thing is stated twice."},
	{DimensionError, "Quantities of different kinds are added or compared, or a result has no unit."},
	{DivisionByZero, "A formula divides by what is 0."},
	{EditionFull, "As many impressions were signed as the edition has."},
	{EndsCrossing, "Several ends meet at one point of the drawing, so that it had to be guessed how they go on."},
	{FarPicture, "A picture does not lie beside the notebook and is not shown."},
	{FitPoints, "A spline is given only by the points that it runs through."},
	{FlatEnds, "A line of the drawing has flat or square ends, and is painted with round ones."},
	{FormulaLoop, "Formulas need each other in a loop."},
	{FormulaSyntax, "A formula cannot be read."},
	{FormulaTooDeep, "A formula has too many brackets inside brackets."},
	{FormulaTooLong, "A formula is too long."},
	{GapTooWide, "So many loose ends lie within the gap that it cannot be told which belong together."},
	{GluedText, "Text stands right below a table and is read as one more row of it."},
	{HatchPattern, "A hatch has a pattern, and its whole area is read."},
	{HeadingName, "A section has a name where it takes none, or has one without a colon."},
	{HiddenTable, "A table inside a quote or a list sets nothing."},
	{InsideMark, "Something is drawn inside a registration mark."},
	{LargeTurn, "The marks turn the drawing by a large angle."},
	{LayerHidden, "The drawing's layer is switched off, frozen or not to be plotted."},
	{LinkLoop, "Notebooks link each other in a loop."},
	{LinkRefused, "A link leads out of the studio, to the network, or nowhere."},
	{LongLine, "A line is too long."},
	{LongParagraph, "A paragraph, a table or the links of a notebook are more than can be read."},
	{LostLine, "A layer or a mark could not be read, though nothing about it was an error."},
	{MarkOffSheet, "A registration mark would not lie on the sheet."},
	{MarkOutOfTrue, "The only registration mark of a drawing is turned, of another size or not square."},
	{MarkSizesDiffer, "The marks of the layers differ in size."},
	{MarkUnit, "The mark's size says that the unit of the drawing is another."},
	{MarksDisagree, "The marks of a drawing do not lie as the recipe says."},
	{MarksSlightlyOff, "The marks of a drawing lie a little off what the recipe says."},
	{MirroredDrawing, "The drawing is mirrored."},
	{MissingColumn, "A table lacks a column that is needed."},
	{MissingFile, "A link leads to a file that is not there."},
	{MissingFormula, "There is no formula where one is wanted."},
	{MissingPicture, "A picture is not there."},
	{MissingRow, "A section lacks a row that is needed."},
	{MissingSection, "The recipe lacks a section that is needed."},
	{MissingTable, "A section lacks its table, or the table its lines."},
	{MissingTitle, "The recipe has no title."},
	{MissingUnit, "A number has no unit where one is wanted."},
	{MissingValue, "A cell that is needed is empty."},
	{MissingWord, "A row or column has a value and no word."},
	{NoAxis, "No centre line was found in a shape."},
	{NoBrushCurve, "The layer's brush has no curve of press and width."},
	{NoCurve, "The marks and rows of a brush make no curve of press and width that rises."},
	{NoDrawing, "The layer has no drawing."},
	{NoLink, "A drawing is named and not linked."},
	{NoMark, "The drawing has no registration mark of the stated size."},
	{NoPromise, "Touching off and the bed are so uncertain that no line can be promised."},
	{NoRegistration, "Layers of several drawings have no registration mark to lie over each other by."},
	{NoRoomForStrip, "The sheet has no free place for the check strip."},
	{NoSuchBlock, "The drawing copies a block that it does not have."},
	{NoSuchLayer, "The drawing has no layer of that name."},
	{NoUnit, "Neither the drawing nor the recipe says the drawing's unit."},
	{NotACount, "A whole number is wanted."},
	{NotADrawing, "The file is no drawing of a kind that can be read."},
	{NotAFile, "A link leads to a folder or the like."},
	{NotANotebook, "A link leads to a file that is no notebook."},
	{NotAQuantity, "A cell holds no number with a unit."},
	{NotAllowed, "A formula uses what the language does not have."},
	{NotCompared, "So many shapes lie on the same spot that not all could be compared for doubles."},
	{NotRead, "A part of the drawing is of a kind that is not read, so it is not painted."},
	{NotText, "A notebook is not text in UTF-8."},
	{NothingToPaint, "The layer's drawing has nothing to paint."},
	{NumberOutOfRange, "A number is too large or too small to be computed with."},
	{OffSheet, "Something lies outside the sheet or its margins."},
	{OpenBoundary, "The boundary of a hatch is open."},
	{OpenContour, "A contour of the drawing is open and has no width."},
	{OutOfDomain, "A function has no value for what it is given."},
	{OutOfRange, "A value is outside what it can be."},
	{OutOfReach, "A program would leave the machine's reach."},
	{OutsideTheBrush, "A brush is asked for a mark or a press that was not measured."},
	{PastSafePress, "A stroke would be pressed past the safe press."},
	{PlainValue, "A value that formulas rest on is a formula itself."},
	{PooledMark, "A mark contradicts the others by no more than its uncertainty."},
	{RawHtml, "Raw HTML is left out of the page."},
	{ReservedJob, "A recipe has a name that the logbook keeps for itself."},
	{ReservedName, "A name is that of a unit, a function or a word of the language."},
	{RowInHeader, "A row stands where a table has its header."},
	{RuleRow, "The row of dashes under a header is missing or does not fit it."},
	{SameJob, "Two recipes of the studio would be one job."},
	{StretchedWidth, "A line with a width is stretched unevenly."},
	{SurplusCell, "A row has more cells than its header, and they would be dropped."},
	{TiltedPlane, "A part of the drawing lies in a tilted plane and is read as seen from above."},
	{TooDeep, "Blocks of the drawing are nested too deeply."},
	{TooLarge, "A file is too large."},
	{TooMany, "A notebook states too many things of one kind."},
	{TooManyMarks, "There are too many marks of one size to be told apart."},
	{TooManyNotebooks, "A job links too many notebooks."},
	{TooManyProblems, "There are so many problems that the rest are not told."},
	{TooMuchWork, "The formulas of a recipe, or a drawing, need too much work."},
	{TwoColumns, "A table of rows has not two columns."},
	{TwoSources, "One thing comes from two places."},
	{UnclosedComment, "A comment has no end and hides what follows."},
	{UnclosedFence, "A block has no closing fence and swallows what follows."},
	{UnescapedBar, "A bar inside backticks splits its cell."},
	{UnitClash, "The drawing and the recipe name different units."},
	{UnknownBrush, "No brush has that name."},
	{UnknownColumn, "A section does not know the column."},
	{UnknownFence, "A fenced block is marked with a word near to working."},
	{UnknownFunction, "The language has no function of that name."},
	{UnknownInk, "The ink or colour is not known."},
	{UnknownName, "Nothing has the name that a formula uses."},
	{UnknownRow, "A section does not know the row."},
	{UnknownSection, "A heading is near to the word of a section and is none."},
	{UnknownSize, "The sheet size is not known."},
	{UnknownUnit, "The unit is not known."},
	{UnknownWord, "A row takes one of a few words, and this is none of them."},
	{UnpaintedLayer, "The drawing holds a layer that no line of the recipe paints."},
	{UnreadStyle, "A style of the drawing is not understood, so shapes may be read wrongly."},
	{Unreadable, "A file cannot be read."},
	{UnreadableDrawing, "The drawing's file cannot be read."},
	{UnusedBrush, "No layer is painted with the brush."},
	{UnusedFormula, "Nothing needs the formula."},
	{UnusedInk, "No layer is painted in the ink."},
	{UnusedRow, "A row says nothing, or nothing new."},
	{Unusual, "A value is possible and hardly meant."},
	{WhichOne, "A name or link may mean more than one thing."},
	{WhiteShape, "A shape is white in the drawing, and is painted like any other."},
	{WidthFormula, "A width formula has no width at some point of a line."},
	{WorkingLine, "A line of a working block is not name = formula."},
	{WrongArguments, "A function has too many, too few or the wrong arguments."},
	{WrongDimension, "A quantity or formula is of another kind than is wanted."},
	{WrongName, "A name cannot be used."},
	{WrongNotebook, "A linked notebook lacks the section that is wanted from it."},
	{WrongNumber, "A number is misspelt."},
	{WrongUncertainty, "What stands behind ± is no standard uncertainty."},
}

// Codes lists all codes with their explanations, in the order of the alphabet.
func Codes() []Explained { return slices.Clone(explanations) }

// Meaning explains a code in one sentence; it is "" for a code that does not
// exist.
func Meaning(code Code) string {
	for _, e := range explanations {
		if e.Code == code {
			return e.Meaning
		}
	}
	return ""
}
