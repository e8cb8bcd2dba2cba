package problem

import "slices"

// Code explains one kind of problem.
type Code struct {
	Code string
	// Meaning says in one sentence what it is that is wrong.
	Meaning string
}

// codes are in the order of the alphabet.
var codes = []Code{
	{"ambiguous-mark", "More than one contour of the drawing may be the registration mark."},
	{"ambiguous-number", "A comma may part the decimals or the thousands."},
	{"bad-count", "A count in the drawing cannot be."},
	{"bad-spline", "A spline of the drawing cannot be followed."},
	{"bad-value", "A value in the drawing cannot be."},
	{"beyond-reach", "A point of the drawing lies farther out than any sheet."},
	{"block-in-itself", "A block of the drawing holds a copy of itself."},
	{"changed-while-read", "Somebody wrote to a file while it was read."},
	{"changes-nothing", "A section is shown on the page and changes no program."},
	{"clipped-shape", "A shape of the drawing is cut off by another, which is not applied."},
	{"closed-outline", "A layer states the width of lines, and its drawing has closed outlines, which are painted as shapes."},
	{"contour-off-grid", "A contour reaches farther out than any sheet."},
	{"contour-tangled", "So many edges of a contour lie on each other that no drawing means it."},
	{"cut-off-drawing", "The end of the drawing's file is missing."},
	{"damaged-drawing", "The drawing's file is damaged."},
	{"dashed-stroke", "A stroke of the drawing is dashed, and is read as one line."},
	{"deep-nesting", "Quotes, lists or blanks nest a line too deeply."},
	{"defined-twice", "Two things have one name, or one thing is stated twice."},
	{"dimension-error", "Quantities of different kinds are added or compared, or a result has no unit."},
	{"division-by-zero", "A formula divides by what is 0."},
	{"edition-full", "As many impressions were signed as the edition has."},
	{"ends-crossing", "Several ends meet at one point of the drawing, so that it had to be guessed how they go on."},
	{"far-picture", "A picture does not lie beside the notebook and is not shown."},
	{"fit-points", "A spline is given only by the points that it runs through."},
	{"flat-ends", "A line of the drawing has flat or square ends, and is painted with round ones."},
	{"formula-loop", "Formulas need each other in a loop."},
	{"formula-syntax", "A formula cannot be read."},
	{"formula-too-deep", "A formula has too many brackets inside brackets."},
	{"formula-too-long", "A formula is too long."},
	{"gap-too-wide", "So many loose ends lie within the gap that it cannot be told which belong together."},
	{"glued-text", "Text stands right below a table and is read as one more row of it."},
	{"hatch-pattern", "A hatch has a pattern, and its whole area is read."},
	{"heading-name", "A section has a name where it takes none, or has one without a colon."},
	{"hidden-table", "A table inside a quote or a list sets nothing."},
	{"inside-mark", "Something is drawn inside a registration mark."},
	{"large-turn", "The marks turn the drawing by a large angle."},
	{"layer-hidden", "The drawing's layer is switched off, frozen or not to be plotted."},
	{"link-loop", "Notebooks link each other in a loop."},
	{"link-refused", "A link leads out of the studio, to the network, or nowhere."},
	{"long-line", "A line is too long."},
	{"long-paragraph", "A paragraph, a table or the links of a notebook are more than can be read."},
	{"lost-line", "A layer or a mark could not be read, though nothing about it was an error."},
	{"mark-off-sheet", "A registration mark would not lie on the sheet."},
	{"mark-sizes-differ", "The marks of the layers differ in size."},
	{"mark-unit", "The mark's size says that the unit of the drawing is another."},
	{"marks-disagree", "The marks of a drawing do not lie as the recipe says."},
	{"marks-slightly-off", "The marks of a drawing lie a little off what the recipe says."},
	{"mirrored-drawing", "The drawing is mirrored."},
	{"missing-column", "A table lacks a column that is needed."},
	{"missing-file", "A link leads to a file that is not there."},
	{"missing-formula", "There is no formula where one is wanted."},
	{"missing-picture", "A picture is not there."},
	{"missing-row", "A section lacks a row that is needed."},
	{"missing-section", "The recipe lacks a section that is needed."},
	{"missing-table", "A section lacks its table, or the table its lines."},
	{"missing-title", "The recipe has no title."},
	{"missing-unit", "A number has no unit where one is wanted."},
	{"missing-value", "A cell that is needed is empty."},
	{"missing-word", "A row or column has a value and no word."},
	{"no-axis", "No centre line was found in a shape."},
	{"no-brush-curve", "The layer's brush has no curve of press and width."},
	{"no-curve", "The marks and rows of a brush make no curve of press and width that rises."},
	{"no-drawing", "The layer has no drawing."},
	{"no-link", "A drawing is named and not linked."},
	{"no-mark", "The drawing has no registration mark of the stated size."},
	{"no-promise", "Touching off and the bed are so uncertain that no line can be promised."},
	{"no-registration", "Layers of several drawings have no registration mark to lie over each other by."},
	{"no-room-for-strip", "The sheet has no free place for the check strip."},
	{"no-such-block", "The drawing copies a block that it does not have."},
	{"no-such-layer", "The drawing has no layer of that name."},
	{"no-unit", "Neither the drawing nor the recipe says the drawing's unit."},
	{"not-a-count", "A whole number is wanted."},
	{"not-a-drawing", "The file is no drawing of a kind that can be read."},
	{"not-a-file", "A link leads to a folder or the like."},
	{"not-a-notebook", "A link leads to a file that is no notebook."},
	{"not-a-quantity", "A cell holds no number with a unit."},
	{"not-allowed", "A formula uses what the language does not have."},
	{"not-compared", "So many shapes lie on the same spot that not all could be compared for doubles."},
	{"not-read", "A part of the drawing is of a kind that is not read, so it is not painted."},
	{"not-text", "A notebook is not text in UTF-8."},
	{"nothing-to-paint", "The layer's drawing has nothing to paint."},
	{"number-out-of-range", "A number is too large or too small to be computed with."},
	{"off-sheet", "Something lies outside the sheet or its margins."},
	{"open-boundary", "The boundary of a hatch is open."},
	{"open-contour", "A contour of the drawing is open and has no width."},
	{"out-of-domain", "A function has no value for what it is given."},
	{"out-of-range", "A value is outside what it can be."},
	{"out-of-reach", "A program would leave the machine's reach."},
	{"outside-the-brush", "A brush is asked for a mark or a press that was not measured."},
	{"past-safe-press", "A stroke would be pressed past the safe press."},
	{"plain-value", "A value that formulas rest on is a formula itself."},
	{"pooled-mark", "A mark contradicts the others by no more than its uncertainty."},
	{"raw-html", "Raw HTML is left out of the page."},
	{"reserved-job", "A recipe has a name that the logbook keeps for itself."},
	{"reserved-name", "A name is that of a unit, a function or a word of the language."},
	{"row-in-header", "A row stands where a table has its header."},
	{"rule-row", "The row of dashes under a header is missing or does not fit it."},
	{"same-job", "Two recipes of the studio would be one job."},
	{"stretched-width", "A line with a width is stretched unevenly."},
	{"surplus-cell", "A row has more cells than its header, and they would be dropped."},
	{"tilted-plane", "A part of the drawing lies in a tilted plane and is read as seen from above."},
	{"too-deep", "Blocks of the drawing are nested too deeply."},
	{"too-large", "A file is too large."},
	{"too-many", "A notebook states too many things of one kind."},
	{"too-many-marks", "There are too many marks of one size to be told apart."},
	{"too-many-notebooks", "A job links too many notebooks."},
	{"too-many-problems", "There are so many problems that the rest are not told."},
	{"too-much-work", "The formulas of a recipe, or a drawing, need too much work."},
	{"two-columns", "A table of rows has not two columns."},
	{"two-sources", "One thing comes from two places."},
	{"unclosed-comment", "A comment has no end and hides what follows."},
	{"unclosed-fence", "A block has no closing fence and swallows what follows."},
	{"unescaped-bar", "A bar inside backticks splits its cell."},
	{"unit-clash", "The drawing and the recipe name different units."},
	{"unknown-brush", "No brush has that name."},
	{"unknown-column", "A section does not know the column."},
	{"unknown-fence", "A fenced block is marked with a word near to working."},
	{"unknown-function", "The language has no function of that name."},
	{"unknown-ink", "The ink or colour is not known."},
	{"unknown-name", "Nothing has the name that a formula uses."},
	{"unknown-row", "A section does not know the row."},
	{"unknown-section", "A heading is near to the word of a section and is none."},
	{"unknown-size", "The sheet size is not known."},
	{"unknown-unit", "The unit is not known."},
	{"unknown-word", "A row takes one of a few words, and this is none of them."},
	{"unpainted-layer", "The drawing holds a layer that no line of the recipe paints."},
	{"unread-style", "A style of the drawing is not understood, so shapes may be read wrongly."},
	{"unreadable", "A file cannot be read."},
	{"unreadable-drawing", "The drawing's file cannot be read."},
	{"unused-brush", "No layer is painted with the brush."},
	{"unused-formula", "Nothing needs the formula."},
	{"unused-ink", "No layer is painted in the ink."},
	{"unused-row", "A row says nothing, or nothing new."},
	{"unusual", "A value is possible and hardly meant."},
	{"which-one", "A name or link may mean more than one thing."},
	{"white-shape", "A shape is white in the drawing, and is painted like any other."},
	{"width-formula", "A width formula has no width at some point of a line."},
	{"working-line", "A line of a working block is not name = formula."},
	{"wrong-arguments", "A function has too many, too few or the wrong arguments."},
	{"wrong-dimension", "A quantity or formula is of another kind than is wanted."},
	{"wrong-name", "A name cannot be used."},
	{"wrong-notebook", "A linked notebook lacks the section that is wanted from it."},
	{"wrong-number", "A number is misspelt."},
	{"wrong-uncertainty", "What stands behind ± is no standard uncertainty."},
}

// Codes lists every kind of problem that a recipe, a notebook or a drawing can
// have, in the order of the alphabet.
func Codes() []Code { return slices.Clone(codes) }

// Meaning explains a code in one sentence; "" where there is no such code.
func Meaning(code string) string {
	i, ok := slices.BinarySearchFunc(codes, code, func(c Code, code string) int {
		switch {
		case c.Code < code:
			return -1
		case c.Code > code:
			return 1
		}
		return 0
	})
	if !ok {
		return ""
	}
	return codes[i].Meaning
}
