package recipe_test

import (
	"testing"
)

// What is uncertain stays tied to the cell in which it was measured, however it
// travels: by rows, linked notebooks, their formulas, the curve of a brush,
// cells that hold formulas, and rows that the recipe states again (JCGM
// 100:2008, 5.2: inputs that rest on one measurement are correlated). A
// caliper's step d counts as d/√12 (F.2.2.1 there): 0.02 mm as 0.0057735 mm.
func TestUncertaintyTravels(t *testing.T) {
	const sable = `# Fine sable
## Brush: fine sable
| brush | |
|---|---|
| widest mark | 2.40 ± 0.05 mm |
| safe press | 5.0 mm |
| caliper | 0.02 mm |
| touch mark | ` + "`0.1 * brush.widest_mark`" + ` |

` + "```working\nhalf = brush.widest_mark / 2\nfirst = width_at(brush, 0.5*mm)\n```" + `

## Swatch: fine sable
| press | width |
|---|---|
| 0.5 mm | 0.48 mm |
| 2.0 mm | 1.08 mm |
`
	const paper = "# Card\n## Sheet\n| s | |\n|---|---|\n| thickness | 0.50 ± 0.02 mm |\n"
	own := "\n## Brush: fine sable\n| brush | |\n|---|---|\n| widest mark | 2.50 mm |\n"
	otherCaliper := own + "| caliper | 0.1 mm |\n"
	again := "\n## Swatch: fine sable\n| press | width |\n|---|---|\n| 0.5 mm | 0.50 mm |\n"
	for _, test := range []struct{ name, override, formula, want string }{
		{"a row less itself", "", "fine_sable.widest_mark - fine_sable.widest_mark", "0 mm"},
		{"a row less its alias", "", "fine_sable.widest_mark - brush.widest_mark", "0 mm"},
		{"a row less a formula of its notebook", "", "fine_sable.widest_mark - 2*fine_sable.half", "0 mm"},
		{"a row less a cell that holds a formula", "", "fine_sable.widest_mark - 10*fine_sable.touch_mark", "0 mm"},
		{"the same by a formula in between", "", "between - fine_sable.widest_mark/2", "0 mm"},
		{"one reading by two ways", "", "u(fine_sable.half + fine_sable.widest_mark/2)", "0.05 mm"},
		{"two readings", "", "u(fine_sable.widest_mark + sheet.thickness) - sqrt((0.05*mm)^2 + (0.02*mm)^2)", "0 mm"},
		{"a paper linked by the sheet", "", "sheet.thickness - card.thickness", "0 mm"},
		{"a mark of the swatch", "", "u(width_at(fine_sable, 0.5*mm))", "0.0057735 mm"},
		{"the curve less a formula of its notebook", "", "width_at(brush, 0.5*mm) - fine_sable.first", "0 mm"},
		{"there and back", "", "press_for(brush, fine_sable.first) - 0.5*mm", "0 mm"},
		{"the curve at its end", "", "width_at(brush, brush.safe_press) - brush.widest_mark", "0 mm"},
		{"a row stated again takes the instrument with it", own, "u(fine_sable.widest_mark)", "0.0057735 mm"},
		{"or its own", otherCaliper, "u(fine_sable.widest_mark)", "0.0288675 mm"},
		{"and is another reading", own, "fine_sable.widest_mark - 2*fine_sable.half", "0.100 ± 0.050 mm"},
		{"and leaves the rest", own, "u(width_at(brush, 0.5*mm))", "0.0057735 mm"},
		{"a swatch stated again", again, "width_at(brush, 0.5*mm) - fine_sable.first", "0.0200 ± 0.0082 mm"},
	} {
		job, list := mustRead(t, withFiles(t, map[string]string{"brushes/fine-sable.md": sable, "papers/card.md": paper},
			"| size | A5 landscape |", "| size | A5 landscape |\n| paper | [card](../papers/card.md) |",
			"## Layers", "`asked` `between`\n```working\nasked = "+test.formula+"\nbetween = fine_sable.half\n```\n"+test.override+"\n## Layers"), "heron/reeds.md")
		if got := workings(job)["asked"].Result; got != test.want || len(list) > 0 {
			t.Errorf("%s: %s is %s, want %s %v", test.name, test.formula, got, test.want, list)
		}
	}
}
