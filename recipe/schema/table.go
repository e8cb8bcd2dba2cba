package schema

import "mahlstick/recipe/quantity"

// GramPerM2 is the unit in which the weight of paper is told.
var GramPerM2 = func() quantity.Unit {
	area, _ := quantity.Metre.Power(2)
	unit, _ := quantity.Gram.Per(area)
	return unit
}()

// Widest sheet, reach and press that are taken for meant, in mm: more than a
// drawing office or a bench ever holds.
const (
	widestSheet = 10_000
	deepest     = 200
)

// Sections is the table, in the order in which a recipe usually has them.
// What is called usual is common practice, no source.
var Sections = []Section{
	{
		Word: "Sheet", Named: true,
		Help: "The paper. x runs right and y up from its lower left corner.",
		Rows: []Field{
			{Word: "size", Kind: Size, Required: true,
				Example: "A4 portrait", Help: "An ISO 216 or ISO 269 name, letter or legal, portrait or landscape; or width x height with a unit."},
			{Word: "margin", Unit: quantity.MM, Bound: AtLeast0, Most: widestSheet, Default: "8 mm", UsualLow: 3, UsualHigh: 50,
				Help: "Nothing but check strips is painted nearer to the edge; tape and stops need it."},
			{Word: "paper", Kind: Notebook, Example: "hot-pressed", Help: "What the paper is called, or a link to its notebook."},
			{Word: "grain", Kind: Choice, Choices: []string{"long", "short"},
				Example: "long", Help: "The side of the sheet along which the fibres lie; paper grows across them."},
			{Word: "weight", Unit: GramPerM2, Bound: Above0, UsualLow: 60, UsualHigh: 850, Example: "300 g/m²", Help: "Weight of the paper; shown only."},
			{Word: "thickness", Unit: quantity.MM, Bound: Above0, Most: deepest, UsualLow: 0.05, UsualHigh: 2, Example: "0.5 mm", Help: "Thickness of the paper; shown only."},
			{Word: "lay", Kind: Choice, Choices: []string{"lower left", "lower right", "upper right", "upper left"}, Default: "lower left",
				Help: "The corner of the sheet that is pushed into the stops and is the machine's zero."},
			{Word: "turned", Kind: Turn, Default: "0°",
				Help: "How the sheet lies on the bed: turned counter-clockwise by 0°, 90°, 180° or 270°."},
			{Word: "edition", Kind: Count, Bound: Above0, Most: 100_000, Example: "30", Help: "How many numbered impressions there will be."},
		},
	},
	{
		Word: "Machine", Named: true,
		Help: "The bench machine and what it can reach.",
		Rows: []Field{
			{Word: "reach x", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 100, UsualHigh: 2000,
				Example: "300 mm", Help: "How far it travels along X from the lay corner."},
			{Word: "reach y", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 100, UsualHigh: 2000,
				Example: "400 mm", Help: "How far it travels along Y from the lay corner."},
			{Word: "reach z", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 15, UsualHigh: 300,
				Example: "60 mm", Help: "How far it travels along Z, from the safe height down."},
			{Word: "safe height", Unit: quantity.MM, Bound: Above0, Most: deepest, Default: "5 mm", UsualLow: 2, UsualHigh: 30,
				Help: "Height of the tip above the paper while it travels; more than tape, clamps and drops."},
			{Word: "travel feed", Unit: quantity.MMPerMin, Bound: Above0, Most: 1_000_000, Default: "2000 mm/min", UsualLow: 500, UsualHigh: 6000,
				Help: "How fast it travels lifted; for the estimate of time."},
			{Word: "lowering feed", Unit: quantity.MMPerMin, Bound: Above0, Most: 1_000_000, Default: "300 mm/min", UsualLow: 60, UsualHigh: 1500,
				Help: "How fast the brush is lowered to the paper and lifted from it."},
			{Word: "z feed", Unit: quantity.MMPerMin, Bound: Above0, Most: 1_000_000, Default: "300 mm/min", UsualLow: 100, UsualHigh: 2000,
				Help: "The fastest that Z can move."},
			{Word: "acceleration", Unit: quantity.MMPerS2, Bound: Above0, Most: 100_000, Default: "100 mm/s²", UsualLow: 20, UsualHigh: 2000,
				Help: "How quickly it gains speed."},
			{Word: "bed", PlusMinus: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "± 0.2 mm", UsualLow: 0, UsualHigh: 1,
				Help: "Half the width of the band in which the bed's height lies, as ± 0.2 mm."},
			{Word: "decimals", Kind: Count, Bound: Above0, Choices: []string{"3", "4"}, Default: "3",
				Help: "Decimals of a coordinate in programs, 3 or 4."},
		},
	},
	{
		Word: "Registration",
		Help: "The marks by which each layer's drawing finds its place on the sheet: closed squares, never painted.",
		Columns: []Field{
			{Word: "mark", Kind: Name, Required: true, Example: "corner", Help: "The mark's name."},
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "Its centre, from the left edge."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "Its centre, from the lower edge."},
			{Word: "size", Unit: quantity.MM, Bound: Above0, Most: widestSheet, Required: true, UsualLow: 2, UsualHigh: 20, Example: "8 mm", Help: "The length of its side."},
			{Word: "drawing layer", Kind: Text, Example: "MARKS", Help: "The layer of the drawing that it stands on; without one it is found by its size."},
		},
	},
	{
		Word: "Layers",
		Help: "One line for each colour, in the order of painting, the palest first.",
		Columns: []Field{
			{Word: "layer", Kind: Name, Required: true, Example: "reeds", Help: "The layer's name."},
			{Word: "drawing", Kind: Drawing, Required: true, Example: "[reeds](reeds.dxf)", Help: "A link to the drawing."},
			{Word: "drawing layer", Kind: Text, Example: "MARKS", Help: "The layer of the drawing to paint; without one, all."},
			{Word: "unit", Kind: Unit, Choices: []string{"mm", "cm", "m", "in", "pt", "px"},
				Example: "cm", Help: "The drawing's unit where the file does not say it; \"cm, not as the file says\" overrules the file."},
			{Word: "brush", Kind: Notebook, Required: true, Example: "[fine sable](../brushes/fine-sable.md)", Help: "A link to the brush's notebook, or the name of a brush of this recipe."},
			{Word: "ink", Kind: Ink, Required: true, Example: "ochre", Help: "A colour (#5f6f3a), the name of an ink, both, or a link to the ink's notebook."},
			{Word: "feed", Unit: quantity.MMPerMin, Bound: Above0, Most: 1_000_000, Default: "900 mm/min", UsualLow: 150, UsualHigh: 3000,
				Help: "How fast the brush paints."},
			{Word: "offset x", Unit: quantity.MM, Most: widestSheet, Default: "0 mm", UsualLow: -20, UsualHigh: 20, Help: "Moves the layer to the right."},
			{Word: "offset y", Unit: quantity.MM, Most: widestSheet, Default: "0 mm", UsualLow: -20, UsualHigh: 20, Help: "Moves the layer up."},
			{Word: "inside", Kind: Choice, Choices: []string{"holes", "strokes"}, Default: "holes",
				Help: "What a contour inside another is: a hole, or a stroke of its own."},
			{Word: "overlap", Unit: quantity.One, Bound: AtLeast0, Most: 0.9, Default: "15 %", UsualLow: 0.05, UsualHigh: 0.5,
				Help: "The share of its width by which a pass over a wide place covers its neighbour."},
			{Word: "lanes", Kind: Choice, Choices: []string{"follow", "straight", "both"}, Default: "follow",
				Help: "How the passes over a wide place run: they follow its edge, or are straight inside a pass along the edge, or both."},
			{Word: "lane angle", Unit: quantity.Degree, Most: 360, Default: "0°", UsualLow: -180, UsualHigh: 180,
				Help: "The way of straight passes, counter-clockwise from the lower edge of the sheet."},
			{Word: "lane margin", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 5,
				Help: "By how much the widest pass of a drawn shape stays narrower than the widest mark; what is wider is filled in passes."},
			{Word: "edges", Kind: Choice, Choices: []string{"first", "last"}, Default: "last",
				Help: "When the parts of a wide place that are nearer to its edge than the passes, and its corners, are painted."},
			{Word: "hairlines", Kind: Choice, Choices: []string{"paint", "leave"}, Default: "paint",
				Help: "What is done with places narrower than the lightest mark. Necks shorter than it is wide are painted."},
			{Word: "bare", Kind: Choice, Choices: []string{"allow", "refuse"}, Example: "refuse",
				Help: "What happens where more than 1 % of what is drawn stays bare: it is allowed, or an error that writes nothing; without a word, a warning."},
			{Word: "width", Kind: WidthFormula, Unit: quantity.MM, Bound: Above0, Most: deepest, UsualLow: 0.1, UsualHigh: 20,
				Example: "`0.4*mm + 1.2*mm*along`", Help: "The width of open lines: a length, or a formula with along, from_start, length, bend and tremor()."},
			{Word: "tolerance", Unit: quantity.MM, Bound: Above0, Most: 10, Default: "0.02 mm", UsualLow: 0.005, UsualHigh: 0.2,
				Help: "How far the painted edge may lie from the drawn one."},
			{Word: "gap", Unit: quantity.MM, Bound: AtLeast0, Most: 10, Default: "0.05 mm", UsualLow: 0, UsualHigh: 1,
				Help: "The widest gap between loose ends of a drawing that still join."},
			{Word: "entries", Kind: Choice, Choices: []string{"as drawn", "longer"}, Default: "as drawn",
				Help: "Whether the entry and exit of a stroke may be lengthened where Z cannot follow; otherwise the feed is lowered there."},
			{Word: "check strip", Kind: Choice, Choices: []string{"yes", "no"}, Default: "no",
				Help: "Whether three short marks are painted first: in the margin near the lay corner or, where that is taken, beside it."},
		},
	},
	{
		Word: "Brush", Named: true,
		Help: "One brush as measured on the paper and with the ink of the job.",
		Rows: []Field{
			{Word: "widest mark", Caliper: true, Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.5, UsualHigh: 30,
				Example: "2.4 mm", Help: "The width of the mark at the safe press."},
			{Word: "safe press", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.5, UsualHigh: 20,
				Example: "5 mm", Help: "The deepest press below the first touch from which the brush springs back."},
			{Word: "touch", PlusMinus: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "± 0.1 mm", UsualLow: 0.01, UsualHigh: 0.5,
				Help: "The standard uncertainty of touching off."},
			{Word: "touch mark", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 2,
				Help: "The width of the mark at the lightest touch."},
			{Word: "caliper", Unit: quantity.MM, Bound: AtLeast0, Most: 10, UsualLow: 0.001, UsualHigh: 0.5,
				Example: "0.02 mm", Help: "The step of the instrument; a reading without ± counts as uncertain by the step/√12."},
			{Word: "lag", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 10,
				Help: "How far the mark trails behind the machine's axis, whatever the press; the brush is led ahead by as much. 0 where it was not measured."},
			{Word: "tip offset x", Unit: quantity.MM, Most: deepest, Default: "0 mm", UsualLow: -10, UsualHigh: 10,
				Help: "Where the mounted tip stands to the right of the machine's axis."},
			{Word: "tip offset y", Unit: quantity.MM, Most: deepest, Default: "0 mm", UsualLow: -10, UsualHigh: 10,
				Help: "Where the mounted tip stands above the machine's axis."},
			{Word: "entry", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 30,
				Help: "The length of path over which an open line comes down."},
			{Word: "exit", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Default: "0 mm", UsualLow: 0, UsualHigh: 30,
				Help: "The length of path over which an open line lifts."},
		},
	},
	{
		Word: "Swatch", Named: true,
		Help: "Marks pulled with the brush: so far pressed, so wide. One line a mark, the press rising.",
		Columns: []Field{
			{Word: "press", Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Required: true, UsualLow: 0, UsualHigh: 20, Example: "0.5 mm", Help: "How far below the first touch."},
			{Word: "width", Caliper: true, Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 0.05, UsualHigh: 30, Example: "0.48 mm", Help: "How wide the mark was."},
			{Word: "lag", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, UsualLow: 0, UsualHigh: 10, Example: "1.2 mm",
				Help: "How far the mark trailed behind the machine's axis at this press, where it was measured; even between two presses, from nothing at press 0."},
		},
	},
	{
		Word: "Ink", Named: true,
		Help: "One ink, in a notebook of its own.",
		Rows: []Field{
			{Word: "colour", Kind: Ink, Required: true, Example: "#5f6f3a", Help: "Its colour on the paper: #5f6f3a, or the name of an ink."},
			{Word: "drying", Unit: quantity.Minute, Bound: AtLeast0, UsualLow: 0, UsualHigh: 1440, Example: "20 min", Help: "The time until a blotter takes nothing up; shown only."},
		},
	},
	{
		Word: "Seating", Inert: true,
		Help: "Where the marks of the sheet were found on the bed; shown only.",
		Columns: []Field{
			{Word: "mark", Kind: Name, Required: true, Example: "corner", Help: "The mark's name."},
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "Measured along X."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "Measured along Y."},
		},
	},
	{
		Word: "Flatness", Inert: true,
		Help: "Touches of the bed at several places; shown only.",
		Columns: []Field{
			{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "The place along X."},
			{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "15 mm", Help: "The place along Y."},
			{Word: "height", Unit: quantity.MM, Most: deepest, Required: true, Example: "0.1 mm", Help: "The height there."},
		},
	},
	{
		Word: "Results", Inert: true,
		Help: "Written after painting, under a heading for each impression; never changes a program. Tables with other columns are shown as they are.",
		Columns: []Field{
			{Word: "strip", Kind: Text, Required: true, Example: "a", Help: "Which mark of the check strip."},
			{Word: "asked", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, Example: "0.6 mm", Help: "The width that was asked for."},
			{Word: "measured", Caliper: true, Unit: quantity.MM, Bound: AtLeast0, Most: deepest, Required: true, Example: "0.66 mm", Help: "The width that was measured."},
		},
	},
}
