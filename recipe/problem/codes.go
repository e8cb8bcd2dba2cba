package problem

import "slices"

// Code names the kind of a problem in short words with hyphens, such as
// "unknown-row". Tests match codes, never wording.
type Code string

// All codes. A new one needs its line in explanations.
const (
	AmbiguousMark     Code = "ambiguous-mark"
	AmbiguousNumber   Code = "ambiguous-number"
	AmbiguousStrip    Code = "ambiguous-strip"
	BadCount          Code = "bad-count"
	BadSpline         Code = "bad-spline"
	BadValue          Code = "bad-value"
	BarePaper         Code = "bare-paper"
	BedTooSteep       Code = "bed-too-steep"
	BeyondHeights     Code = "beyond-heights"
	BeyondReach       Code = "beyond-reach"
	BlockInItself     Code = "block-in-itself"
	ChangedWhileRead  Code = "changed-while-read"
	ChangesNothing    Code = "changes-nothing"
	ClampInWay        Code = "clamp-in-way"
	ClippedShape      Code = "clipped-shape"
	ClosedOutline     Code = "closed-outline"
	CoincidingMarks   Code = "coinciding-marks"
	ContourOffGrid    Code = "contour-off-grid"
	ContourTangled    Code = "contour-tangled"
	CopiedReadings    Code = "copied-readings"
	CoveredShapes     Code = "covered-shapes"
	CutOffDrawing     Code = "cut-off-drawing"
	DamagedDrawing    Code = "damaged-drawing"
	DashedStroke      Code = "dashed-stroke"
	DeepNesting       Code = "deep-nesting"
	DefinedTwice      Code = "defined-twice"
	DimensionError    Code = "dimension-error"
	DivisionByZero    Code = "division-by-zero"
	DrawnTwice        Code = "drawn-twice"
	EditionFull       Code = "edition-full"
	EndsCrossing      Code = "ends-crossing"
	FarPicture        Code = "far-picture"
	FarSafePress      Code = "far-safe-press"
	FeedNotMeasured   Code = "feed-not-measured"
	FewHeights        Code = "few-heights"
	FitPoints         Code = "fit-points"
	FlatEnds          Code = "flat-ends"
	FormulaLoop       Code = "formula-loop"
	FormulaSyntax     Code = "formula-syntax"
	FormulaTooDeep    Code = "formula-too-deep"
	FormulaTooLong    Code = "formula-too-long"
	GapTooWide        Code = "gap-too-wide"
	GluedText         Code = "glued-text"
	GradientFill      Code = "gradient-fill"
	HatchPattern      Code = "hatch-pattern"
	HeadingName       Code = "heading-name"
	HiddenShape       Code = "hidden-shape"
	HiddenTable       Code = "hidden-table"
	InsideMark        Code = "inside-mark"
	LargeTurn         Code = "large-turn"
	LayerHidden       Code = "layer-hidden"
	LinkLoop          Code = "link-loop"
	LinkRefused       Code = "link-refused"
	LongLine          Code = "long-line"
	LongParagraph     Code = "long-paragraph"
	LostLine          Code = "lost-line"
	LowSafeHeight     Code = "low-safe-height"
	MarkInPicture     Code = "mark-in-picture"
	MarkNotYetPainted Code = "mark-not-yet-painted"
	MarkOffSheet      Code = "mark-off-sheet"
	MarkOutOfTrue     Code = "mark-out-of-true"
	MarkSizesDiffer   Code = "mark-sizes-differ"
	MarkTooSmall      Code = "mark-too-small"
	MarkUnit          Code = "mark-unit"
	MarksDisagree     Code = "marks-disagree"
	MarksInLine       Code = "marks-in-line"
	MarksSlightlyOff  Code = "marks-slightly-off"
	MergeMarker       Code = "merge-marker"
	MirroredDrawing   Code = "mirrored-drawing"
	Misfit            Code = "misfit"
	Misread           Code = "misread"
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
	MixedUnits        Code = "mixed-units"
	MovedStroke       Code = "moved-stroke"
	NoAxis            Code = "no-axis"
	NoBrushCurve      Code = "no-brush-curve"
	NoCurve           Code = "no-curve"
	NoDrawing         Code = "no-drawing"
	NoLink            Code = "no-link"
	NoMark            Code = "no-mark"
	NoPage            Code = "no-page"
	NoPromise         Code = "no-promise"
	NoReadings        Code = "no-readings"
	NoRegistration    Code = "no-registration"
	NoRoomForStrip    Code = "no-room-for-strip"
	NoRoomForTrial    Code = "no-room-for-trial"
	NoSuchBlock       Code = "no-such-block"
	NoSuchColour      Code = "no-such-colour"
	NoSuchLayer       Code = "no-such-layer"
	NoSuchPart        Code = "no-such-part"
	NoSuchStrip       Code = "no-such-strip"
	NoTouch           Code = "no-touch"
	NoUnit            Code = "no-unit"
	NoWayRound        Code = "no-way-round"
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
	OneMark           Code = "one-mark"
	OpenBoundary      Code = "open-boundary"
	OpenContour       Code = "open-contour"
	OtherSheet        Code = "other-sheet"
	OtherSize         Code = "other-size"
	OutOfDomain       Code = "out-of-domain"
	OutOfRange        Code = "out-of-range"
	OutOfReach        Code = "out-of-reach"
	OutlineWidth      Code = "outline-width"
	OutlyingReading   Code = "outlying-reading"
	OutsideTheBrush   Code = "outside-the-brush"
	OverPage          Code = "over-page"
	PastSafePress     Code = "past-safe-press"
	PlainValue        Code = "plain-value"
	PointedCorners    Code = "pointed-corners"
	PooledMark        Code = "pooled-mark"
	RawHtml           Code = "raw-html"
	ReservedJob       Code = "reserved-job"
	ReservedName      Code = "reserved-name"
	RestOverSheet     Code = "rest-over-sheet"
	RoundedLines      Code = "rounded-lines"
	RowInHeader       Code = "row-in-header"
	RuleRow           Code = "rule-row"
	SameJob           Code = "same-job"
	SeveralColours    Code = "several-colours"
	SheetsDiffer      Code = "sheets-differ"
	SizeByMark        Code = "size-by-mark"
	SmallLoad         Code = "small-load"
	StretchedWidth    Code = "stretched-width"
	SurplusCell       Code = "surplus-cell"
	SwappedColumns    Code = "swapped-columns"
	TiltedPlane       Code = "tilted-plane"
	TooDeep           Code = "too-deep"
	TooFast           Code = "too-fast"
	TooFewMarks       Code = "too-few-marks"
	TooFewPresses     Code = "too-few-presses"
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
	UnknownColour     Code = "unknown-colour"
	UnknownColumn     Code = "unknown-column"
	UnknownFence      Code = "unknown-fence"
	UnknownFunction   Code = "unknown-function"
	UnknownInk        Code = "unknown-ink"
	UnknownLayer      Code = "unknown-layer"
	UnknownMark       Code = "unknown-mark"
	UnknownName       Code = "unknown-name"
	UnknownRow        Code = "unknown-row"
	UnknownSection    Code = "unknown-section"
	UnknownSize       Code = "unknown-size"
	UnknownUnit       Code = "unknown-unit"
	UnknownWord       Code = "unknown-word"
	UnpaintedColour   Code = "unpainted-colour"
	UnpaintedLayer    Code = "unpainted-layer"
	UnreadStyle       Code = "unread-style"
	Unreadable        Code = "unreadable"
	UnreadableDrawing Code = "unreadable-drawing"
	UnusedBrush       Code = "unused-brush"
	UnusedFormula     Code = "unused-formula"
	UnusedInk         Code = "unused-ink"
	UnusedRow         Code = "unused-row"
	UnusedWell        Code = "unused-well"
	Unusual           Code = "unusual"
	WellInTheWay      Code = "well-in-the-way"
	WetTime           Code = "wet-time"
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
	{AmbiguousMark, "More than one contour of the drawing may be the register mark."},
	{AmbiguousNumber, "A comma in a number may be a decimal comma or separate thousands."},
	{AmbiguousStrip, "A measured mark may belong to the check strip of several layers."},
	{BadCount, "A count in the drawing's file is impossible."},
	{BadSpline, "A spline in the drawing cannot be followed."},
	{BadValue, "A value in the drawing's file is impossible."},
	{BarePaper, "More than 1 % of what is drawn on a layer is not painted."},
	{BedTooSteep, "The surface of the touched heights is so steep that Z cannot follow it at the feed of a layer."},
	{BeyondHeights, "Something is painted where the height of the paper was not touched, outside the area between the touched places."},
	{BeyondReach, "A point of the drawing lies farther out than any sheet."},
	{BlockInItself, "A block of the drawing contains a copy of itself."},
	{ChangedWhileRead, "A file changed while it was being read."},
	{ChangesNothing, "A section or a cell is shown on the page but changes no program."},
	{ClampInWay, "A clamp or tape stands where something is painted, touched off or measured, or where the machine rests."},
	{ClippedShape, "A shape of the drawing is clipped by another shape; the clipping is not applied."},
	{ClosedOutline, "A layer sets the width of open lines, but its drawing has closed outlines, which are painted as shapes."},
	{CoincidingMarks, "Two marks whose places were read are at the same place of the sheet."},
	{ContourOffGrid, "A contour reaches farther out than any sheet."},
	{ContourTangled, "Far too many edges of a contour lie on top of each other."},
	{CopiedReadings, "The readings of a layer are those of another layer, whose brush has its tip elsewhere."},
	{CoveredShapes, "Much of what a layer paints lies under later shapes of its drawing."},
	{CutOffDrawing, "The end of the drawing's file is missing."},
	{DamagedDrawing, "The drawing's file is damaged."},
	{DashedStroke, "A stroke of the drawing is dashed; it is read as one solid line."},
	{DeepNesting, "Quotes, lists or indents are nested too deeply in one line."},
	{DefinedTwice, "A name is used twice, or a value is given twice."},
	{DimensionError, "Quantities of different kinds are added or compared, or a result has no unit."},
	{DivisionByZero, "A formula divides by zero."},
	{DrawnTwice, "A line of the drawing is drawn twice on the same spot; it is read once."},
	{EditionFull, "The edition is complete: all its impressions have been signed."},
	{EndsCrossing, "Several ends meet at one point of the drawing, so it is unclear which lines continue each other."},
	{FarPicture, "A picture is not in the studio and is not shown."},
	{FarSafePress, "The safe press of a brush is beyond what its marks or its hair allow."},
	{FeedNotMeasured, "A layer is painted at a feed at which its brush was not measured."},
	{FewHeights, "The touched heights are fewer than three places, or all in a line, so they do not make a surface."},
	{FitPoints, "A spline is given only by the points it passes through."},
	{FlatEnds, "A line of the drawing has flat or square ends; a brush stroke has round ones."},
	{FormulaLoop, "Formulas depend on each other in a loop."},
	{FormulaSyntax, "A formula cannot be read."},
	{FormulaTooDeep, "Brackets in a formula are nested too deeply."},
	{FormulaTooLong, "A formula is too long."},
	{GapTooWide, "Too many loose ends lie within the gap, so it is unclear which belong together."},
	{GluedText, "Text directly below a table is read as another row of it."},
	{GradientFill, "A shape is filled or stroked with a gradient; it is painted evenly."},
	{HatchPattern, "A hatch has a pattern; its whole area is read."},
	{HeadingName, "A section has a name where none is allowed, or a name without a colon before it."},
	{HiddenShape, "Something in the drawing hides what lies under it, which is painted all the same."},
	{HiddenTable, "A table inside a quote, a list or a block has no effect."},
	{InsideMark, "Something is drawn inside a register mark."},
	{LargeTurn, "The marks turn the drawing by a large angle."},
	{LayerHidden, "The drawing's layer is off, frozen or set not to plot."},
	{LinkLoop, "Notebooks link to each other in a loop."},
	{LinkRefused, "A link leads outside the studio, to the network, or nowhere."},
	{LongLine, "A line is too long."},
	{LongParagraph, "A paragraph, a table or the links of a notebook are too large to be read."},
	{LostLine, "A layer or a mark could not be read, although nothing in it was reported as an error."},
	{LowSafeHeight, "A drop of ink could touch the sheet while the brush travels."},
	{MarkInPicture, "A painted register mark would lie where something else is painted."},
	{MarkNotYetPainted, "A mark was read before the layer that paints it."},
	{MarkOffSheet, "A register mark would not lie on the sheet."},
	{MarkOutOfTrue, "The only register mark of a drawing is turned, of another size or not square."},
	{MarkSizesDiffer, "The marks of the layers differ in size."},
	{MarkTooSmall, "A register mark is too small for the brush that paints it."},
	{MarkUnit, "The size of the mark suggests that the drawing uses another unit."},
	{MarksDisagree, "The marks of a drawing are not where the recipe puts them."},
	{MarksInLine, "The marks that were read lie in a line, which does not tell growth across it."},
	{MarksSlightlyOff, "The marks of a drawing are slightly away from where the recipe puts them."},
	{MergeMarker, "Version control left two versions of the same lines in a notebook."},
	{MirroredDrawing, "The drawing is mirrored."},
	{Misfit, "The places of marks that were read do not agree with each other."},
	{Misread, "The places of marks were misread or written down wrongly."},
	{MissingColumn, "A table lacks a required column."},
	{MissingFile, "A link leads to a file that does not exist."},
	{MissingFormula, "A formula is missing."},
	{MissingPicture, "A picture does not exist."},
	{MissingRow, "A section lacks a required row."},
	{MissingSection, "The recipe lacks a required section."},
	{MissingTable, "A section has no table, or its table has no rows."},
	{MissingTitle, "The recipe has no title."},
	{MissingUnit, "A number has no unit."},
	{MissingValue, "A required cell is empty."},
	{MissingWord, "A row or column has a value but no name."},
	{MixedUnits, "A reading seems to be in another unit than the others, or than its column says."},
	{MovedStroke, "The sheet cannot have moved at that stroke of a layer."},
	{NoAxis, "A shape has no centre line that could be found."},
	{NoBrushCurve, "The layer's brush has no curve of press and width."},
	{NoCurve, "The measurements of a brush do not give a rising curve of press and width."},
	{NoDrawing, "The layer has no drawing."},
	{NoLink, "A drawing is named but not linked."},
	{NoMark, "The drawing has no register mark of the size in the recipe."},
	{NoPage, "A layer is to be cut to the page of its drawing, which has none."},
	{NoPromise, "Touching off and the bed are too uncertain for any line to be sure."},
	{NoReadings, "A swatch links a recipe without readings of its brush, or lines of a file of readings are missing."},
	{NoRegistration, "Several drawings have no register mark by which to align them."},
	{NoRoomForStrip, "The sheet has no free place for the check strip."},
	{NoRoomForTrial, "The sheet has no room for a trial inside its margins and within the reach of the machine."},
	{NoSuchBlock, "The drawing copies a block that it does not contain."},
	{NoSuchColour, "The drawing has nothing of that colour."},
	{NoSuchLayer, "The drawing has no layer of that name."},
	{NoSuchPart, "A row of Results names a part of a layer that the job does not have."},
	{NoSuchStrip, "No layer of that name has a check strip."},
	{NoTouch, "The first mark of a ladder painted already, so that the sheet does not show where the paper was touched."},
	{NoUnit, "Neither the drawing nor the recipe gives the unit of the drawing."},
	{NoWayRound, "A clamp is in the way of the lifted brush: it is too high to be passed over, and there is no way round it."},
	{NotACount, "A whole number is expected."},
	{NotADrawing, "The file is not a drawing of a supported kind."},
	{NotAFile, "A link leads to a folder or a device instead of a file."},
	{NotANotebook, "A link leads to a file that is not a notebook."},
	{NotAQuantity, "A cell does not hold a number with a unit."},
	{NotAllowed, "A formula uses something that formulas do not have."},
	{NotCompared, "Too many shapes lie on the same spot to check all of them for doubles."},
	{NotRead, "A part of the drawing is of an unsupported kind and is not painted."},
	{NotText, "A notebook or a file of readings is not text in UTF-8, or its quotes do not match."},
	{NothingToPaint, "The layer's drawing has nothing to paint."},
	{NumberOutOfRange, "A number is too large or too small."},
	{OffSheet, "Something lies outside the sheet or its margins."},
	{OneMark, "One mark was read, which tells nothing of the turn of the sheet."},
	{OpenBoundary, "The boundary of a hatch is open."},
	{OpenContour, "A contour of the drawing is open and has no width."},
	{OtherSheet, "Readings do not belong to the swatch recipe that links them."},
	{OtherSize, "A layer draws its drawing at another size than other layers of the same drawing."},
	{OutOfDomain, "A function has no value for its arguments."},
	{OutOfRange, "A value is outside its limits."},
	{OutOfReach, "A program would leave the machine's reach."},
	{OutlineWidth, "Closed outlines have a constant width in the drawing; they are painted as lines, not as areas."},
	{OutlyingReading, "A reading does not fit the others."},
	{OutsideTheBrush, "A brush is asked for a mark or a press outside its measurements."},
	{OverPage, "Some of the shapes lie beyond the page of their drawing, where pictures of it do not show them."},
	{PastSafePress, "A stroke would be pressed past the safe press."},
	{PlainValue, "A value that formulas use is itself a formula."},
	{PointedCorners, "The corners of a line are pointed or cut off in the drawing; those of a brush stroke are round."},
	{PooledMark, "A mark contradicts the others, but by no more than its uncertainty."},
	{RawHtml, "Raw HTML is left out of the page."},
	{ReservedJob, "A recipe has a name that is reserved in the logbook."},
	{ReservedName, "A name is already used for a unit, a function or a word of the language."},
	{RestOverSheet, "The brush would wait over the sheet."},
	{RoundedLines, "Much of a layer is ends and corners of lines that are flat or pointed in the drawing; they are painted round."},
	{RowInHeader, "The header of a table holds a row."},
	{RuleRow, "The row of dashes below a header is missing or does not match it."},
	{SameJob, "Two recipes of the studio would write the same job."},
	{SeveralColours, "A layer paints several colours of its drawing in one ink."},
	{SheetsDiffer, "Readings of several papers, inks or days are linked, or a job uses another paper or ink than its brush was measured with, and the brush does not say that they are pooled."},
	{SizeByMark, "A layer's drawn size and its register mark disagree; the mark decides."},
	{SmallLoad, "One load of ink paints too little for the strokes of a layer."},
	{StretchedWidth, "A line with a width is stretched unevenly."},
	{SurplusCell, "A row has more cells than its header; the extra cells would be lost."},
	{SwappedColumns, "The columns of a swatch are swapped."},
	{TiltedPlane, "A part of the drawing lies in a tilted plane; it is read as seen from above."},
	{TooDeep, "Blocks of the drawing are nested too deeply."},
	{TooFast, "A feed is faster than the machine can move."},
	{TooFewMarks, "Fewer marks were read than the growth of the sheet needs."},
	{TooFewPresses, "Too few marks were read for a curve."},
	{TooLarge, "A file is too large."},
	{TooMany, "A notebook has too many of something."},
	{TooManyMarks, "Too many marks have the same size to tell them apart."},
	{TooManyNotebooks, "A job links too many notebooks."},
	{TooManyProblems, "There are too many problems to list them all."},
	{TooMuchWork, "The formulas of a recipe, or a drawing, take too much computing."},
	{TwoColumns, "A table of rows does not have two columns."},
	{TwoSources, "The same section comes from two places."},
	{UnclosedComment, "A comment has no end and hides what follows."},
	{UnclosedFence, "A block has no closing fence and takes in what follows."},
	{UnescapedBar, "A bar inside backticks splits its cell."},
	{UnitClash, "The drawing and the recipe give different units."},
	{UnknownBrush, "No brush has that name."},
	{UnknownColour, "The drawing colour is not a colour."},
	{UnknownColumn, "The section has no such column."},
	{UnknownFence, "A fenced block is marked with a word similar to working."},
	{UnknownFunction, "There is no function of that name."},
	{UnknownInk, "The ink or colour is unknown."},
	{UnknownLayer, "The recipe has no layer of that name."},
	{UnknownMark, "The recipe has no register mark of that name."},
	{UnknownName, "A formula uses a name that is not defined."},
	{UnknownRow, "The section has no such row."},
	{UnknownSection, "A heading is similar to the name of a section, but is not one."},
	{UnknownSize, "The sheet size is unknown."},
	{UnknownUnit, "The unit is unknown."},
	{UnknownWord, "A cell takes one of a few words, and this is not one of them."},
	{UnpaintedColour, "No layer of the recipe paints this colour of the drawing."},
	{UnpaintedLayer, "No layer of the recipe paints this layer of the drawing."},
	{UnreadStyle, "A style of the drawing is not understood, so shapes may be read wrongly."},
	{Unreadable, "A file cannot be read."},
	{UnreadableDrawing, "The drawing's file cannot be read."},
	{UnusedBrush, "No layer uses the brush."},
	{UnusedFormula, "Nothing uses the formula."},
	{UnusedInk, "No layer uses the ink."},
	{UnusedRow, "A row has no value, or repeats another."},
	{UnusedWell, "No layer is painted in the ink of a well."},
	{Unusual, "A value is possible but unusual."},
	{WellInTheWay, "A well or its scrap strip lies over the sheet, over another well or strip, or where the brush travels between strokes."},
	{WetTime, "A stroke comes back to itself before the stated time to dry is over."},
	{WhichOne, "A name or link is ambiguous."},
	{WhiteShape, "A shape is white in the drawing; it is painted like any other."},
	{WidthFormula, "A width formula has no value at some point of a line."},
	{WorkingLine, "A line of a working block does not read name = formula."},
	{WrongArguments, "A function has too many, too few or the wrong arguments."},
	{WrongDimension, "A quantity or formula is of the wrong kind."},
	{WrongName, "A name cannot be used."},
	{WrongNotebook, "A linked notebook lacks the section that the link needs."},
	{WrongNumber, "A number is misspelt."},
	{WrongUncertainty, "The part after ± is not a standard uncertainty."},
}

// Codes lists all codes with their explanations, in alphabetical order.
func Codes() []Explained { return slices.Clone(explanations) }

// Meaning explains a code in one sentence; "" for an unknown code.
func Meaning(code Code) string {
	for _, e := range explanations {
		if e.Code == code {
			return e.Meaning
		}
	}
	return ""
}
