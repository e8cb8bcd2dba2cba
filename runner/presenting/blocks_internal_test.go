package presenting

import (
	"testing"

	"mahlstick/recipe/model"
)

// Rows go below the recipe's own heading, whatever name the notebook gives
// what it defines.
func TestRowsBelowTheirHeading(t *testing.T) {
	job := &model.Job{
		Facts: []model.Fact{
			{Section: model.Section{Word: "Sheet", Name: "Hot-pressed"}, Word: "size", Value: "A4 portrait"},
			{Section: model.Section{Word: "Registration", Name: "corner"}, Word: "x", Value: "15 mm"},
			{Section: model.Section{Word: "Ink", Name: "madder"}, Word: "colour", Value: "#8a2d3b"},
		},
		Page: []model.Block{
			{Kind: model.SectionBlock, Section: model.Section{Word: "Sheet", Name: "Sheet"}, Heading: "Sheet"},
			{Kind: model.Prose, HTML: "<p>Text.</p>"},
			{Kind: model.SectionBlock, Section: model.Section{Word: "Registration"}, Heading: "Registration"},
			{Kind: model.SectionBlock, Section: model.Section{Word: "Registration"}, Heading: "Registration", HTML: "<p>More.</p>"},
		},
	}
	blocks, _ := viewBlocks(job)
	if len(blocks) != 5 {
		t.Fatalf("%d blocks, want 5: %+v", len(blocks), blocks)
	}
	if b := blocks[0]; b.Heading != "Sheet" || len(b.Facts) != 1 || b.Facts[0].Value != "A4 portrait" {
		t.Errorf("the sheet is shown as %+v", b)
	}
	if b := blocks[2]; b.Heading != "Registration" || b.Table == nil || len(b.Table.Rows) != 1 {
		t.Errorf("the marks are shown as %+v", b)
	}
	if b := blocks[3]; b.Heading != "" || b.HTML != "<p>More.</p>" || b.Table != nil {
		t.Errorf("the text below the marks is shown as %+v", b)
	}
	if b := blocks[4]; b.Heading != "Ink: madder" || len(b.Facts) != 1 {
		t.Errorf("the ink of another notebook is shown as %+v", b)
	}
}
