package recipe_test

import (
	"strings"
	"testing"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
)

// A job in another ink or on another paper than its brush was measured with is warned
// at the cell, unless the brush pools them.
func TestMeasuredWithAnotherInk(t *testing.T) {
	const indigo = "fine-sable.md) | indigo |"
	for name, c := range map[string]struct {
		ink, paper, pool string
		places           []string // texts of the cells that are warned of
	}{
		"the same":         {ink: "indigo", paper: "hot-pressed"},
		"written anew":     {ink: "Indigo #1f2a49", paper: "Hot-Pressed"},
		"no paper stated":  {ink: "indigo"},
		"another ink":      {ink: "ochre", places: []string{"ochre"}},
		"another paper":    {ink: "indigo", paper: "rough", places: []string{"rough"}},
		"both":             {ink: "ochre", paper: "rough", places: []string{"rough", "ochre"}},
		"pooled":           {ink: "ochre", paper: "rough", pool: "| pool | all |\n"},
		"pooled over days": {ink: "ochre", pool: "| pool | days |\n", places: []string{"ochre"}},
		"only a colour":    {ink: "#1f2a49"},
	} {
		files := measuredStudio(t, aSheet())
		text := strings.Replace(measuredRecipe, indigo, strings.Replace(indigo, "indigo", c.ink, 1), 1)
		if c.paper != "" {
			text = strings.Replace(text, "| size | A5 landscape |\n", "| size | A5 landscape |\n| paper | "+c.paper+" |\n", 1)
		}
		files[wrongRecipe].Data = []byte(text)
		files["brushes/fine-sable.md"].Data = []byte(strings.Replace(measuredBrush, "| caliper |", c.pool+"| caliper |", 1))
		_, list := recipe.Read(files, wrongRecipe)
		var places []string
		for _, p := range list {
			if p.Severity != problem.Warning || p.Code != problem.SheetsDiffer || p.Fix.None() || len(p.Related) != 1 || !p.Related[0].Place.Known() {
				t.Errorf("%s: %v", name, p)
				continue
			}
			places = append(places, p.Place.Text())
		}
		if strings.Join(places, " ") != strings.Join(c.places, " ") {
			t.Errorf("%s: warned of %q, want %q", name, places, c.places)
		}
	}
}

// Links are compared by where they lead, whatever they are called.
func TestMeasuredOnALinkedPaper(t *testing.T) {
	files := measuredStudio(t, aSheet())
	files["papers/smooth.md"] = files["papers/hot-pressed.md"]
	if files["papers/smooth.md"] == nil {
		t.Fatal("the studio has no paper")
	}
	for link, warned := range map[string]bool{"[smooth](../papers/hot-pressed.md)": false, "[hot-pressed](../papers/smooth.md)": true, "hot-pressed": false, "smooth": true} {
		files["swatches/fine-sable.md"].Data = []byte(strings.Replace(swatchRecipe, "| paper | hot-pressed |", "| paper | [hot-pressed](../papers/hot-pressed.md) |", 1))
		files[wrongRecipe].Data = []byte(strings.Replace(measuredRecipe, "| size | A5 landscape |\n", "| size | A5 landscape |\n| paper | "+link+" |\n", 1))
		_, list := recipe.Read(files, wrongRecipe)
		got := len(list) == 1 && list[0].Code == problem.SheetsDiffer
		if got != warned || !got && len(list) > 0 {
			t.Errorf("%s: %v", link, list)
		}
	}
}
