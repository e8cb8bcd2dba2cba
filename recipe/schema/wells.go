package schema

import "mahlstick/recipe/quantity"

// wellsSection is the table of the wells.
var wellsSection = Section{
	Word: Wells,
	Help: "Open pots of ink on the bed, beside the sheet, in which the machine loads the brush by itself: before the first stroke, after a check strip and, where the brush states what it holds, before a load ends. One row for each ink. " +
		"All places are those that the machine shows, from the lay corner, while the tip is there; add the tip offset of the brush with which you read them. " +
		"Caution: the machine does not feel the bottom of a well. A brush that is driven onto the bottom or the rim is bent for good.",
	Columns: []Field{
		{Word: "ink", Kind: Text, Required: true, Example: "ochre", Help: "Name of the ink in the well, as the column ink of Layers has it."},
		{Word: "x", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "240 mm", Measure: "carry the tip over the middle of the well, and read X at the machine", Help: "X of its middle. No well may be over the sheet, nor where the margin walk or the brush between strokes passes."},
		{Word: "y", Unit: quantity.MM, Most: widestSheet, Required: true, Example: "60 mm", Measure: "carry the tip over the middle of the well, and read Y at the machine", Help: "Y of its middle."},
		{Word: "opening", Unit: quantity.MM, Bound: Above0, Most: deepest, Required: true, UsualLow: 8, UsualHigh: 80, Example: "24 mm",
			Measure: "measure across the mouth of the well, where it is narrowest", Help: "Width of its mouth, where it is narrowest."},
		{Word: "rim", Unit: quantity.MM, Most: deepest, Required: true, UsualLow: -20, UsualHigh: 40, Example: "3 mm",
			Measure: "touch a brush off on the paper, lower it beside the well until the tip is as high as the rim, and read Z", Help: "Height of its rim above the paper. The brush comes and goes 2 mm above it or at the safe height, whichever is higher; rest z must be at least as high."},
		{Word: "depth", Unit: quantity.MM, Most: deepest, Required: true, UsualLow: -30, UsualHigh: 30, Example: "4 mm",
			Measure: "touch the brush off on the paper, carry it over the well, lower it until the ink covers half of the hair while the tip is free of the bottom, and read how far Z is below 0",
			Help:    "How far the tip goes down, counted from the first touch of the paper and not from the rim or the ink: 4 mm is Z-4. It is negative for a well whose ink is higher than the paper. Every brush is touched off on the paper, so it holds for brushes of any length, but a brush with longer hair needs the same room below its tip."},
		{Word: "seconds", Unit: quantity.Second, Bound: Above0, Most: 60, Default: "1 s", UsualLow: 0.2, UsualHigh: 10, Help: "How long the brush stays down in the ink."},
		{Word: "wipe x", Unit: quantity.MM, Most: widestSheet, Example: "256 mm", Measure: "carry the tip to a place just outside the rim, and read X at the machine",
			Help: "With wipe y: the place, outside the rim, to which the brush is drawn from the middle of the well, so that the rim takes off what would drip. Its tip is then lower than the rim by half of its deepest press. Without one, it is lifted straight out."},
		{Word: "wipe y", Unit: quantity.MM, Most: widestSheet, Example: "60 mm", Measure: "carry the tip to a place just outside the rim, and read Y at the machine", Help: "Y of that place."},
		{Word: "scrap x", Unit: quantity.MM, Most: widestSheet, Example: "230 mm", Measure: "carry the tip over the left end of the strip, and read X at the machine",
			Help: "With scrap y, scrap width and scrap height: a strip of the same paper, as high as the sheet, on which each fresh load is run in with a mark along its longer side: as long as the run-out on a swatch sheet of the brush found, or 20 mm. It takes ink from the load. The least X of the strip. It may be beside the sheet, or in a margin that is wide enough. Without one, no load is run in."},
		{Word: "scrap y", Unit: quantity.MM, Most: widestSheet, Example: "90 mm", Measure: "carry the tip over the front end of the strip, and read Y at the machine", Help: "The least Y of the strip."},
		{Word: "scrap width", Unit: quantity.MM, Bound: Above0, Most: widestSheet, UsualLow: 5, UsualHigh: 400, Example: "60 mm", Help: "Width of the strip along X."},
		{Word: "scrap height", Unit: quantity.MM, Bound: Above0, Most: widestSheet, UsualLow: 5, UsualHigh: 400, Example: "30 mm", Help: "Height of the strip along Y."},
	},
}
