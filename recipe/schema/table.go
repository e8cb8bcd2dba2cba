package schema

import "mahlstick/recipe/quantity"

// GramPerM2 is the unit of the weight of paper.
var GramPerM2 = func() quantity.Unit {
	area, _ := quantity.Metre.Power(2)
	unit, _ := quantity.Gram.Per(area)
	return unit
}()

// Limits of sheets, reaches and presses in mm: more than any workshop has.
const (
	widestSheet = 10_000
	deepest     = 200
)

// slowest is the feed in mm/min below which a number is a slip of the unit or
// of the decimal point (common practice, no source).
const slowest = 5

// beyond is where the machine waits if the recipe does not say it.
const beyond = "20 mm beyond the sheet, or 0 mm with a warning if the machine does not reach that far"

// The rows of each axis and of corners share these.
const (
	anyFeed = "the fastest feed, or the travel feed if that is greater"
	byAxis  = "With any of the rows of an axis or the corner cut, times count each axis by itself."
)

// Sections is the table, in the usual order of a recipe. The usual ranges are
// common practice, no source.
var Sections = []Section{
	{
		Word: "Sheet", Named: true,
		Help: "The paper. x is to the right and y up from its lower left corner.",
		Rows: []Field{
			{Word: "size", Kind: Size, Required: true,
				Example: "A4 portrait", Measure: "measure the sheet or read its pack, and write it as A4 portrait or as 210 x 297 mm", Help: "An ISO 216 or ISO 269 name, letter or legal, portrait or landscape; or width x height with a unit."},
			{Word: "margin", Unit: quantity.MM, Bound: AtLeast0, Most: widestSheet, Default: "8 mm", UsualLow: 3, UsualHigh: 50,
				Help: "Distance from the edge that stays clear for tape and stops; only check strips are painted there."},
			{Word: "paper", Kind: Notebook, Example: "hot-pressed", Help: "Name of the paper, or a link to its notebook."},
			{Word: "grain", Kind: Choice, Choices: []string{"long", "short"},
				Example: "long", Help: "Side of the sheet along which the fibres lie; paper swells across them."},
			{Word: "weight", Unit: GramPerM2, Bound: Above0, UsualLow: 60, UsualHigh: 850, Example: "300 g/m²", Help: "Weight of the paper; for your records only."},
			{Word: "thickness", Unit: quantity.MM, Bound: Above0, Most: deepest, UsualLow: 0.05, UsualHigh: 2, Example: "0.5 mm", Help: "Thickness of the paper; for your records only."},
			{Word: "lay", Kind: Choice, Choices: []string{"lower left", "lower right", "upper right", "upper left"}, Default: "lower left",
				Help: "Corner of the sheet that is pushed against the stops; it is the machine's zero."},
			{Word: "turned", Kind: Turn, Default: "0°",
				Help: "How far the sheet is turned counter-clockwise on the bed: 0°, 90°, 180° or 270°."},
			{Word: "growth", Kind: Choice, Choices: []string{"none", "even", "grain"}, Default: "none",
				Help: "How the sheet may have grown when its marks are read again: not at all; alike in all directions, from two marks on; or along and across its sides, from three marks on that are not in a line. If it is stated, programs that carry the tip over the marks are written."},
			{Word: "misfit", Unit: quantity.MM, Bound: Above0, Most: 10, Default: "0.3 mm", UsualLow: 0.05, UsualHigh: 1,
				Help: "How far a mark may be read from where the others put it. Farther is an error."},
			{Word: "touch-off x", Unit: quantity.MM, Bound: AtLeast0, Most: widestSheet, Example: "12 mm",
				Help: "Distance from the left edge to the place where each brush is touched off, best in the margin. With it and touch-off y, the heights under Flatness make a surface that Z follows."},
			{Word: "touch-off y", Unit: quantity.MM, Bound: AtLeast0, Most: widestSheet, Example: "12 mm",
				Help: "Distance from the lower edge to the place where each brush is touched off."},
			{Word: "edition", Kind: Count, Bound: Above0, Most: 100_000, Example: "30", Help: "Number of impressions in the edition."},
			{Word: "worksheet", Kind: Choice, Choices: []string{"yes", "no"}, Example: "yes",
				Help: "Also write worksheet.html: the formulas of the page with their results left blank, for a class to work out."},
		},
	},
	{
		Word: "Machine", Named: true,
		Help: "The machine and its reach.",
		Rows: []Field{
			{Word: "reach x", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 100, UsualHigh: 2000,
				Example: "300 mm", Measure: "with the holder on, move along X from the lay corner of the sheet to the end of the travel, and read the distance", Help: "Travel along X from the lay corner; a ± is taken off."},
			{Word: "reach y", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 100, UsualHigh: 2000,
				Example: "400 mm", Measure: "with the holder on, move along Y from the lay corner of the sheet to the end of the travel, and read the distance", Help: "Travel along Y from the lay corner; a ± is taken off."},
			{Word: "reach z", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 15, UsualHigh: 300,
				Example: "60 mm", Measure: "with the holder on, move down from the safe height to the end of the travel, and read the distance", Help: "Travel along Z, down from the safe height; a ± is taken off."},
			{Word: "safe height", Unit: quantity.MM, Bound: Above0, Least: 2, Most: deepest, Default: "5 mm", UsualLow: 2, UsualHigh: 30,
				Help: "Height of the tip above the paper while it travels; higher than tape, clamps and drops of ink. A ± is added."},
			{Word: "hover", Unit: quantity.MM, Bound: Above0, Least: 1, Most: deepest, UsualLow: 2, UsualHigh: 10, Derived: "the safe height", Example: "2.5 mm",
				Help: "Height of the tip down to which it goes by a rapid, and where the lowering feed begins. Between strokes of the picture that are near each other, it lifts only to there. At most the safe height; a ± is added."},
			{Word: "travel feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, Default: "2000 mm/min", UsualLow: 500, UsualHigh: 6000,
				Help: "Feed of travel with the brush lifted; used to estimate the time."},
			{Word: "fastest feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, UsualLow: 500, UsualHigh: 20_000,
				Derived: "3000 mm/min, or the travel feed if that is greater", Example: "3000 mm/min",
				Help: "Fastest feed along a path in X and Y. No layer is painted faster."},
			{Word: "lowering feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, Default: "300 mm/min", UsualLow: 60, UsualHigh: 1500,
				Derived: "300 mm/min, or the z feed if that is less", Help: "Feed at which the brush is lowered to the paper and lifted; never faster than the z feed."},
			{Word: "z feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, Default: "300 mm/min", UsualLow: 100, UsualHigh: 2000,
				Help: "Fastest feed of Z."},
			{Word: "acceleration", Unit: quantity.MMPerS2, Bound: Above0, Most: 100_000, Default: "100 mm/s²", UsualLow: 20, UsualHigh: 2000,
				Help: "Acceleration of the machine."},
			{Word: "x feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, UsualLow: 500, UsualHigh: 20_000, Derived: anyFeed, Example: "3000 mm/min",
				Help: "Fastest feed of X. " + byAxis},
			{Word: "y feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, UsualLow: 500, UsualHigh: 20_000, Derived: anyFeed, Example: "3000 mm/min",
				Help: "Fastest feed of Y. " + byAxis},
			{Word: "x acceleration", Unit: quantity.MMPerS2, Bound: Above0, Most: 100_000, UsualLow: 20, UsualHigh: 2000, Derived: "the acceleration", Example: "150 mm/s²",
				Help: "Acceleration of X. " + byAxis},
			{Word: "y acceleration", Unit: quantity.MMPerS2, Bound: Above0, Most: 100_000, UsualLow: 20, UsualHigh: 2000, Derived: "the acceleration", Example: "150 mm/s²",
				Help: "Acceleration of Y. " + byAxis},
			{Word: "z acceleration", Unit: quantity.MMPerS2, Bound: Above0, Most: 100_000, UsualLow: 20, UsualHigh: 2000, Derived: "the acceleration", Example: "100 mm/s²",
				Help: "Acceleration of Z. " + byAxis},
			{Word: "corner cut", Unit: quantity.MM, Bound: AtLeast0, Most: 5, UsualLow: 0, UsualHigh: 0.2, Derived: "0.05 mm", Example: "0.02 mm",
				Help: "How far the machine may cut a corner so that it need not stop there; 0 mm if it stops at every corner. " + byAxis},
			{Word: "bed", PlusMinus: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "± 0.2 mm", UsualLow: 0, UsualHigh: 1,
				Help: "How far the height of the bed varies, up or down, such as ± 0.2 mm."},
			{Word: "rest x", Unit: quantity.MM, Most: widestSheet, Derived: beyond, Example: "0 mm",
				Help: "X of the place where the machine waits at pauses and at the end, from the lay corner."},
			{Word: "rest y", Unit: quantity.MM, Most: widestSheet, Derived: beyond, Example: "320 mm",
				Help: "Y of the place where the machine waits at pauses and at the end, from the lay corner."},
			{Word: "rest z", Unit: quantity.MM, Bound: Above0, Most: deepest, Derived: "the safe height", Example: "20 mm",
				Help: "Height of the tip above the paper while the machine waits. No program goes higher."},
			{Word: "decimals", Kind: Count, Bound: Above0, Choices: []string{"3", "4"}, Default: "3",
				Help: "Decimals of the coordinates in programs, 3 or 4."},
		},
	},
	{
		Word: "Registration",
		Help: "The register marks that place each layer's drawing on the sheet: closed squares in the drawings. A small cross is painted at a mark if the recipe asks for it.",
		Columns: []Field{
			{Word: "mark", Kind: Name, Required: true, Example: "corner", Help: "Name of the mark."},
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "measure on the sheet from the left edge to its centre", Help: "Distance of its centre from the left edge."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "measure on the sheet from the lower edge to its centre", Help: "Distance of its centre from the lower edge."},
			{Word: "size", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 2, UsualHigh: 20, Example: "8 mm", Measure: "measure its side in the drawing", Help: "Length of its side."},
			{Word: "drawing layer", Kind: Text, Example: "MARKS", Help: "Layer of the drawing that holds the mark; without one it is found by its size."},
			{Word: "painted", Kind: Text, Example: "reeds", Help: "Layer that paints a small cross with an open middle there, to find the sheet's place again by; without one, nothing is painted. A painted mark may be missing from the drawings."},
		},
	},
	{
		Word: "Layers",
		Help: "One row for each colour, in the order of painting, the palest first.",
		Columns: []Field{
			{Word: "layer", Kind: Name, Required: true, Example: "reeds", Help: "Name of the layer."},
			{Word: "drawing", Kind: Drawing, Required: true, Example: "[reeds](reeds.dxf)", Help: "Link to the drawing."},
			{Word: "drawing layer", Kind: Text, Example: "MARKS", Help: "Layer of the drawing to paint; without one, all of them."},
			{Word: "drawing colour", Kind: Text, Example: "#d9b263",
				Help: "Colours of the drawing to paint, such as #d9b263 or tan, with commas between several; none for shapes without a colour, all for every colour without a warning. A shape has the colour of its fill, a line that of its stroke. Without one, all of them; check DRAWING lists them."},
			{Word: "covered", Kind: Choice, Choices: []string{"paint", "leave"}, Default: "paint",
				Help: "Whether what lies under later opaque shapes of the drawing, which the layer does not paint, is painted or left bare. With leave, white shapes are bare paper, unless white is a drawing colour of the layer, and so are the areas that a DXF wipes out."},
			{Word: "trap", Unit: quantity.MM, Bound: AtLeast0, Most: 10, Default: "0 mm", UsualLow: 0, UsualHigh: 2,
				Help: "With covered | leave, how far a shape runs on under one that a later layer of the recipe paints, so that no paper shows between them."},
			{Word: "unit", Kind: Unit, Choices: []string{"mm", "cm", "m", "in", "pt", "px"},
				Example: "cm", Help: "Unit of the drawing if the file does not give it; \"cm, not as the file says\" overrides the file."},
			{Word: "brush", Kind: Notebook, Required: true, Example: "[fine sable](../brushes/fine-sable.md)", Help: "Link to the brush's notebook, or the name of a brush in this recipe."},
			{Word: "ink", Kind: Ink, Required: true, Example: "ochre", Help: "Colour (#5f6f3a), name of an ink, both, or a link to the ink's notebook."},
			{Word: "feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, Default: "900 mm/min", UsualLow: 150, UsualHigh: 3000,
				Help: "Feed of painting."},
			{Word: "drawn size", Kind: Text, Example: "120 mm wide",
				Help: "Size of the drawing on the sheet, for one without a unit or of another size: 120 mm wide, 90 mm high, to the margins, or a factor such as 50 %. " +
					"It is the size of the page or, in a file without one, of all that is drawn. Its lower left corner lies at that of the sheet, moved by the offsets; " +
					"to the margins centres it between them, and a factor leaves the drawing's zero in its place. A register mark comes first."},
			{Word: "offset x", Unit: quantity.MM, Default: "0 mm", Help: "Distance by which the layer is moved to the right."},
			{Word: "offset y", Unit: quantity.MM, Default: "0 mm", Help: "Distance by which the layer is moved up."},
			{Word: "cut to", Kind: Choice, Choices: []string{"page", "clip", "margins"}, Example: "page",
				Help: "Where shapes and lines are cut off: clip at the clip paths of the drawing, page there and at its page, margins there and at the margins of the sheet; without one they are whole."},
			{Word: "outlines", Kind: Choice, Choices: []string{"shapes", "lines"}, Example: "lines",
				Help: "Whether closed outlines are painted as the shapes that they enclose, or as lines along them, with their own width or the layer's; a hatch or a solid of a DXF stays a shape. Without one, those with a width in the drawing are lines."},
			{Word: "faults", Kind: Choice, Choices: []string{"skip", "refuse"}, Default: "skip",
				Help: "Whether an element of the drawing that cannot be read is skipped with a warning, or no program is written. Damaged files are always refused."},
			{Word: "inside", Kind: Choice, Choices: []string{"holes", "strokes"}, Default: "holes",
				Help: "Whether a contour inside another is a hole or a stroke of its own."},
			{Word: "overlap", Unit: quantity.One, Bound: AtLeast0, Most: 0.9, Default: "15 %", UsualLow: 0.05, UsualHigh: 0.5,
				Help: "How much of its width a lane overlaps the next one, where a shape is wider than the brush."},
			{Word: "lanes", Kind: Choice, Choices: []string{"follow", "straight", "both"}, Default: "follow",
				Help: "How a shape wider than the brush is filled: lanes that follow its edge, straight lanes inside one lane along the edge, or both."},
			{Word: "lane angle", Unit: quantity.Degree, Most: 360, Default: "0°", UsualLow: -180, UsualHigh: 180,
				Help: "Direction of straight lanes, counter-clockwise from the lower edge of the sheet."},
			{Word: "lane margin", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 5,
				Help: "How much narrower than the widest mark the widest stroke is; wider shapes are filled with lanes."},
			{Word: "edges", Kind: Choice, Choices: []string{"first", "last"}, Default: "last",
				Help: "Whether the corners of a wide shape, and the parts between its lanes and its edge, are painted first or last."},
			{Word: "order", Kind: Choice, Choices: []string{"short", "as drawn", "written"}, Default: "short",
				Help: "Order of the strokes: the one with the shortest travel, that of the drawing, or as a hand writes from the upper left. In the last two a stroke is pulled to the right and down, and a slanting one from its thick end; with as drawn, an open line runs as it was drawn."},
			{Word: "hand", Kind: Choice, Choices: []string{"right", "left"}, Default: "right",
				Help: "Hand whose order and direction is followed; left mirrors them, from the upper right. It does not matter where the order is short."},
			{Word: "corners", Kind: Choice, Choices: []string{"joined", "touch", "round"}, Default: "joined",
				Help: "How a stroke gets into corners and side branches: out and back without lifting; with a touch of the brush for each; or as joined, but with small corners left round."},
			{Word: "round below", Unit: quantity.MM, Bound: Above0, Most: deepest, Default: "0.3 mm", UsualLow: 0.05, UsualHigh: 3,
				Help: "With corners round: a corner that reaches less than this beyond the round mark is left out, and listed."},
			{Word: "hairlines", Kind: Choice, Choices: []string{"paint", "leave"}, Default: "paint",
				Help: "Whether places narrower than the lightest mark are painted or left. Necks shorter than that mark is wide are always painted."},
			{Word: "bare", Kind: Choice, Choices: []string{"allow", "refuse"}, Example: "refuse",
				Help: "What to do if more than 1 % of the drawing stays unpainted: allow it, or refuse to write programs; by default there is a warning."},
			{Word: "width", Kind: WidthFormula, Unit: quantity.MM, Bound: Above0, Most: deepest, UsualLow: 0.1, UsualHigh: 20,
				Example: "`0.4*mm + 1.2*mm*along`", Help: "Width of open lines: a length, or a formula with along, from_start, length, bend and tremor()."},
			{Word: "tolerance", Unit: quantity.MM, Bound: Above0, Most: 10, Default: "0.02 mm", UsualLow: 0.005, UsualHigh: 0.2,
				Help: "Largest distance between the painted edge and the drawn edge."},
			{Word: "gap", Unit: quantity.MM, Bound: AtLeast0, Most: 10, Default: "0.05 mm", UsualLow: 0, UsualHigh: 1,
				Help: "Widest gap across which loose ends of the drawing are joined."},
			{Word: "entries", Kind: Choice, Choices: []string{"as drawn", "longer", "concealed"}, Default: "as drawn",
				Help: "How strokes begin and end: as drawn, with the feed lowered where Z is too slow; longer than drawn there; or concealed: the brush comes down lightly on what the stroke paints anyway, goes back to the end while it is pressed, and sets off; it leaves likewise."},
			{Word: "check strip", Kind: Choice, Choices: []string{"yes", "no"}, Default: "no",
				Help: "Whether three short marks are painted first, in the margin near the lay corner or, if that is not free, next to it."},
		},
	},
	{
		Word: "Trials",
		Help: "The marks of a swatch sheet, by which a brush is measured. One row for each trial, in the order of painting. A recipe has Trials or Layers.",
		Columns: []Field{
			{Word: "trial", Kind: Name, Required: true, Example: "ladder", Help: "Name of the trial."},
			{Word: "kind", Kind: Choice, Required: true, Example: "ladder",
				Choices: []string{"ladder", "ramp", "rings", "corners", "feeds", "dwell", "run-out", "touches", "tips", "set-off"},
				Help:    "What is painted. A ladder: marks of rising press. A ramp: press up and down along one stroke. Rings and corners: how far the mark trails. Feeds: one press at doubling feeds. Dwell: dots held for 0 s up to the time in \"held\". Run-out: one load to its end. Touches: ten touch-offs. Tips: where the tip of each mounted brush is. Set-off: short marks for the blotter."},
			{Word: "brush", Kind: Notebook, Required: true, Example: "[fine sable](../brushes/fine-sable.md)", Help: "Link to the brush's notebook, or the name of a brush in this recipe. Its widest mark and its safe press may be unknown."},
			{Word: "ink", Kind: Ink, Required: true, Example: "ochre", Help: "Colour (#5f6f3a), name of an ink, both, or a link to the ink's notebook."},
			{Word: "feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, Default: "900 mm/min", UsualLow: 150, UsualHigh: 3000,
				Help: "Feed of painting; the slowest, for the kind feeds."},
			{Word: "press", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.1, UsualHigh: 20, Example: "4 mm",
				Measure: "by hand, press the wet brush slowly on scrap beside a ruler and lift it again; choose a press from which the tip still springs back to its point, well before the hair lies flat up to the ferrule",
				Help:    "The greatest press of the trial; the brush is never pressed deeper."},
			{Word: "repeats", Kind: Count, Bound: Above0, Most: 20, Default: "3", Help: "How often each mark is painted."},
			{Word: "held", Unit: quantity.Second, Bound: Above0, Most: 60, Default: "4 s", UsualLow: 0.5, UsualHigh: 20, Help: "Longest time that a dot of the kind dwell is held."},
		},
	},
	{
		Word: "Brush", Named: true,
		Help: "One brush, measured on the paper and with the ink of the job.",
		Rows: []Field{
			{Word: "widest mark", Caliper: true, Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.5, UsualHigh: 30,
				Example: "2.4 mm", Measure: "pull a mark at the safe press and measure its width", Help: "Width of the mark at the safe press."},
			{Word: "safe press", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.5, UsualHigh: 20,
				Example: "5 mm", Measure: "press deeper step by step below the first touch; it is the deepest press from which the tip still springs back to its point", Help: "Deepest press below the first touch from which the tip still springs back to its point."},
			{Word: "reserve", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, UsualLow: 0, UsualHigh: 2, Example: "0.3 mm",
				Derived: "twice the standard uncertainty of the height, at most a fifth of the safe press",
				Help:    "How much less than the safe press the brush is pressed at most; 0 mm uses the whole safe press. The height is uncertain by touch, bed and the ± of the safe press."},
			{Word: "touch", PlusMinus: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "± 0.1 mm", UsualLow: 0.01, UsualHigh: 0.5,
				Help: "Standard uncertainty of touching off."},
			{Word: "touch mark", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 2,
				Help: "Width of the mark at the lightest touch."},
			{Word: "caliper", Unit: quantity.MM, Bound: AtLeast0, Most: 10, UsualLow: 0.001, UsualHigh: 0.5,
				Example: "0.02 mm", Help: "Step of the caliper; a reading without ± has the standard uncertainty step/√12."},
			{Word: "hair", Unit: quantity.MM, Bound: Above0, Most: deepest, UsualLow: 3, UsualHigh: 100,
				Example: "18 mm", Measure: "measure from the ferrule to the point", Help: "Length of the hair outside the ferrule. A safe press over half of it is an error (common practice, no source)."},
			{Word: "lag", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 10,
				Help: "Distance by which the mark trails behind the machine's axis, at any press; the program corrects for it. 0 if not measured."},
			{Word: "play", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 1,
				Help: "How much deeper a press acts that is reached from above, by lifting, than one that is reached from below; the program corrects for it. 0 if not measured."},
			{Word: "pool", Kind: Choice, Choices: []string{"nothing", "days", "all"}, Default: "nothing",
				Help: "Which readings of linked swatch recipes count together: those of one paper, ink and day; those of several days; or all."},
			{Word: "tip offset x", Unit: quantity.MM, Most: deepest, Default: "0 mm", UsualLow: -10, UsualHigh: 10,
				Help: "Distance of the mounted tip to the right of the machine's axis."},
			{Word: "tip offset y", Unit: quantity.MM, Most: deepest, Default: "0 mm", UsualLow: -10, UsualHigh: 10,
				Help: "Distance of the mounted tip above the machine's axis, along y."},
			{Word: "entry", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 30,
				Help: "Length over which the brush is lowered at the start of an open line."},
			{Word: "exit", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 30,
				Help: "Length over which the brush is lifted at the end of an open line."},
			{Word: "holds", Unit: quantity.MM2, Or: quantity.MM, Bound: Above0, Example: "900 mm²",
				Measure: "load the brush and paint at the job's widths until the mark turns pale; multiply length and width, and take the least of three",
				Help:    "What one load of ink paints, as an area or as a length. The machine pauses before it ends, so that you can load the brush again; a stroke that takes more is divided at a thin place. No pauses if not stated."},
			{Word: "steepest press", Unit: quantity.One, Bound: Above0, Most: deepest, UsualLow: 0.1, UsualHigh: 5, Example: "1 mm/mm",
				Help: "How many mm deeper the brush may be pressed for each mm of way; no limit if not given. Where a stroke would be pressed more steeply it is pressed less and listed, or concealed if the layer says so. Lifting has no limit."},
		},
	},
	{
		Word: "Swatch", Named: true,
		Help: "Test marks of the brush: how far pressed, how wide the mark. One row for each mark, in order of increasing press. Instead of a table, or beside it, links to swatch recipes: what is measured under their Results counts. With links, or with one of the columns from feed on, marks are readings that are pooled: a press may come twice.",
		Columns: []Field{
			{Word: "press", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Required: true, UsualLow: 0, UsualHigh: 20, Example: "0.5 mm", Measure: "pull a mark, and read how far below the first touch the brush was", Help: "Press below the first touch."},
			{Word: "width", Caliper: true, Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.05, UsualHigh: 30, Example: "0.48 mm", Measure: "pull a mark at this press and measure its width", Help: "Measured width of the mark."},
			{Word: "lag", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, UsualLow: 0, UsualHigh: 10, Example: "1.2 mm",
				Measure: "pull a straight mark at this press, and measure how far behind the axis it ends", Help: "Distance by which the mark trailed behind the machine's axis at this press, if measured; it is interpolated between rows, from 0 at press 0."},
			{Word: "feed", Unit: quantity.MMPerMin, Bound: Above0, Least: slowest, Most: 1_000_000, UsualLow: 150, UsualHigh: 5000, Example: "900 mm/min",
				Help: "Feed of the mark, if it is one of a series at several feeds."},
			{Word: "from", Kind: Choice, Choices: []string{"below", "above"}, Default: "below",
				Help: "Whether the press was reached from below, or from above by lifting; marks reached from above give the play."},
			{Word: "dwell", Unit: quantity.Second, Bound: AtLeast0, Most: 600, UsualLow: 0, UsualHigh: 60, Example: "0.5 s",
				Help: "Time for which the brush stood still, if the mark is a dot; the width is its diameter."},
			{Word: "by", Kind: Text, Example: "fern", Help: "Who measured it, by a name of their choice such as a plant or a bird, never by their own."},
			{Word: "left out", Kind: Text, Example: "smudged", Help: "Why the reading does not count; empty if it does."},
		},
	},
	{
		Word: "Ink", Named: true,
		Help: "One ink, in a notebook of its own.",
		Rows: []Field{
			{Word: "colour", Kind: Ink, Required: true, Example: "#5f6f3a", Help: "Its colour on the paper: #5f6f3a, or the name of an ink."},
			{Word: "drying", Unit: quantity.Minute, Bound: AtLeast0, UsualLow: 0, UsualHigh: 1440, Example: "20 min", Help: "Time until blotting paper stays clean; for your records only."},
		},
	},
	{
		Word: "Seating",
		Help: "Where the register marks of the sheet were found on the bed after it was put back, or after the machine lost its zero: what the machine shows while the tip of a layer's brush is over the mark. With the column layer, that layer and those after it are painted on the sheet as it lies; without it, the table is only shown. A mark may have several rows.",
		Columns: []Field{
			{Word: "layer", Kind: Text, Example: "bird", Help: "Layer with whose brush the marks were read, before it was painted. A row without one belongs to the layer above. It holds until the next layer named."},
			{Word: "mark", Kind: Text, Required: true, Example: "corner", Help: "Name of the mark."},
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "carry the tip over the mark, and read X at the machine", Help: "X that the machine shows there. A ± is its standard uncertainty; without one, 0.06 mm."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "carry the tip over the mark, and read Y at the machine", Help: "Y that the machine shows there."},
			{Word: "zero", Kind: Choice, Choices: []string{"kept", "lost"}, Default: "kept",
				Help: "Whether the machine still has its zero of the first layer, and the sheet has moved; or the zero was lost and set anew, so that reach and resting place have moved too."},
		},
	},
	{
		Word: "Flatness",
		Help: "Heights of the paper on the bed, touched at several places. With the Sheet rows touch-off x and touch-off y they make a surface that Z follows: a plane, or from nine places on, in three rows each way or more, one that bends along x and y. Without these rows they are only shown.",
		Columns: []Field{
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "measure on the sheet from the left edge to the place", Help: "Distance of the place from the left edge of the sheet, as it was first laid."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Measure: "measure on the sheet from the lower edge to the place", Help: "Distance of the place from the lower edge of the sheet, as it was first laid."},
			{Word: "height", Unit: quantity.MM, Most: deepest, Required: true, Example: "0.1 mm", Measure: "lower the tip there until it just touches, and read Z", Help: "Z at the first touch there, all from one touch-off, higher counting more. Its ± is its standard uncertainty, ± 0.1 mm if not given."},
		},
	},
	{
		Word: "Results", Inert: true,
		Help: "Readings after painting, under a heading for each impression; they change no program. Tables with other columns are shown as they are.",
		Columns: []Field{
			{Word: "layer", Kind: Text, Example: "indigo", Help: "Layer of the check strip; needed if several layers have one."},
			{Word: "strip", Kind: Text, Required: true, Example: "a", Help: "Letter of the mark on the check strip."},
			{Word: "asked", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, Example: "0.6 mm", Measure: "read it from the job card", Help: "Width that was asked for."},
			{Word: "measured", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Required: true, Example: "0.66 mm", Measure: "measure the mark of the check strip", Help: "Width that was measured."},
		},
	},
}

// Painted is a table under Results besides that of the check strip: which program
// painted which part of a layer.
var Painted = Section{
	Word: "Results", Inert: true,
	Help: "Which program painted a part of a layer, if it was interrupted, under the heading of the impression; the command resume prints the rows. What is not named was painted by the layer's own program.",
	Columns: []Field{
		{Word: "layer", Kind: Text, Required: true, Example: "slate", Help: "Layer that was resumed."},
		{Word: "from", Kind: Count, Bound: Above0, Most: 10_000_000, Required: true, Example: "61", Help: "First stroke that the program paints."},
		{Word: "at", Unit: quantity.One, Bound: AtLeast0, Most: 1, Example: "40 %", Help: "How much of that stroke was painted before; without one, nothing."},
		{Word: "to", Kind: Count, Bound: Above0, Most: 10_000_000, Required: true, Example: "134", Help: "Last stroke that it paints."},
		{Word: "file", Kind: Text, Required: true, Example: "3-slate-from-61.nc", Help: "The program."},
	},
}
