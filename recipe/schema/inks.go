package schema

import (
	"slices"
	"strings"
)

// inks are names of inks and pigments of the trade, with colours chosen for the
// page; they are not those of any maker.
var inks = map[string]string{
	"alizarin":          "#8a2432",
	"apricot":           "#e0a072",
	"azure":             "#4f86b8",
	"black":             "#1c1b1a",
	"blue":              "#2f5a97",
	"bone black":        "#26221f",
	"brown":             "#6b4a31",
	"burnt sienna":      "#8a4427",
	"burnt umber":       "#4d3424",
	"carmine":           "#9a1f33",
	"celadon":           "#a3bfa0",
	"cerulean":          "#4a8fae",
	"charcoal":          "#37383a",
	"cinnabar":          "#c0402c",
	"cobalt blue":       "#2b4f9c",
	"crimson":           "#931f34",
	"grass":             "#6d8a3a",
	"green":             "#3f7448",
	"grey":              "#82847f",
	"indigo":            "#27375a",
	"iron gall":         "#2b2a38",
	"ivory black":       "#24221f",
	"lamp black":        "#1f1e1d",
	"madder":            "#a33a42",
	"madder lake":       "#b04a58",
	"malachite":         "#3f8467",
	"moss":              "#5f6f3a",
	"ochre":             "#c08a3e",
	"olive":             "#6c6a34",
	"orange":            "#d9772b",
	"payne's grey":      "#414c58",
	"pine soot":         "#2e3034",
	"plum":              "#6a3f5a",
	"prussian blue":     "#1f3a56",
	"purple":            "#5b3f72",
	"raw sienna":        "#b57c3c",
	"raw umber":         "#6a5334",
	"red":               "#b8322a",
	"red ochre":         "#9c4a2f",
	"rose":              "#c76a78",
	"rust":              "#a0522d",
	"sand":              "#d9c49a",
	"sap green":         "#5a6b2f",
	"sepia":             "#5a4230",
	"sky":               "#9cc0d6",
	"slate":             "#55626e",
	"straw":             "#d8bf74",
	"teal":              "#2f6f70",
	"terre verte":       "#7a8a6a",
	"ultramarine":       "#2c3f8f",
	"umber":             "#5f4a34",
	"verdigris":         "#5a9a87",
	"vermilion":         "#cf4327",
	"violet":            "#5f4a86",
	"walnut":            "#553a27",
	"white":             "#fbfaf5",
	"yellow":            "#e3b93a",
	"yellow ochre":      "#c9973f",
	"warm grey":         "#8f887e",
	"cool grey":         "#7d858c",
	"silver grey":       "#a9adaf",
	"bistre":            "#4b3a28",
	"gamboge":           "#dba22d",
	"sanguine":          "#a64b36",
	"viridian":          "#2f7561",
	"chrome green":      "#3d6b3c",
	"naples yellow":     "#e6cf93",
	"cadmium red":       "#c5302b",
	"cadmium yellow":    "#efc22e",
	"quinacridone rose": "#b8416f",
}

// InkColour returns the colour, "#rrggbb", of a named ink, ignoring case and
// repeated spaces.
func InkColour(name string) (hex string, ok bool) {
	hex, ok = inks[strings.Join(strings.Fields(strings.ToLower(name)), " ")]
	return hex, ok
}

// InkNames lists the known inks, sorted.
func InkNames() []string {
	out := make([]string, 0, len(inks))
	for name := range inks {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
