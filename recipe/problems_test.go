package recipe_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/schema"
)

// reeds is a small recipe that has no problems in the test studio.
const reeds = `# Reeds
## Sheet
| sheet | |
|---|---|
| size | A5 landscape |

## Machine
[bench router](../machines/bench-router.md)

## Registration
| mark | x | y | size |
|---|---|---|---|
| corner | 15 mm | 15 mm | 8 mm |

## Layers
| layer | drawing | brush | ink | feed |
|---|---|---|---|---|
| reeds | [reeds](reeds.dxf) | [fine sable](../brushes/fine-sable.md) | ochre | 900 mm/min |
`

// problemCase changes texts of the small recipe (old => new, several with ,,
// between them), or adds files, and names the problems that come of it:
// severity when it is no error, code, text at fault.
type problemCase struct {
	name, edit string
	files      fstest.MapFS
	want       []string
}

const (
	sable = "[fine sable](../brushes/fine-sable.md)"
	good  = "| widest mark | 2.4 mm |\n| safe press | 5 mm |\n"
)

func brush(rows string) fstest.MapFS {
	return fstest.MapFS{"brushes/fine-sable.md": {Data: []byte("# Fine sable\n## Brush: fine sable\n| brush | |\n|---|---|\n" + rows)}}
}

var problemCases = []problemCase{
	{"nothing", "", nil, nil},
	{"prose headings that are only roughly alike", "## Registration\n| mark | x | y | size |\n|---|---|---|---|\n| corner | 15 mm | 15 mm | 8 mm |\n => ## Regulation\nNone.\n\n## Illustration\n[a](b.md)\n", nil, nil},
	{"no title", "# Reeds\n => ", nil, []string{"warning missing-title "}},
	{"absolute path", "(reeds.dxf) => (/tmp/reeds.dxf)", nil, []string{"link-refused /tmp/reeds.dxf"}},
	{"empty link", "(reeds.dxf) => ()", nil, []string{"link-refused [reeds]()"}},
	{"drive letter", "(reeds.dxf) => (C:/reeds.dxf)", nil, []string{"link-refused C:/reeds.dxf"}},
	{"other host", "(reeds.dxf) => (//example.org/reeds.dxf)", nil, []string{"link-refused //example.org/reeds.dxf"}},
	{"escaped path out", "(reeds.dxf) => (%2e%2e/%2e%2e/reeds.dxf)", nil, []string{"link-refused %2e%2e/%2e%2e/reeds.dxf"}},
	{"folder as drawing", "(reeds.dxf) => (photos)", nil, []string{"not-a-file photos"}},
	{"folder as notebook", "(../machines/bench-router.md) => (../machines.md)", fstest.MapFS{"machines.md/x": {Data: []byte("x")}}, []string{"not-a-file ../machines.md"}},
	{"two drawings", "[reeds](reeds.dxf) => [a](reeds.dxf) [b](bird.dxf)", nil, []string{"two-sources [b](bird.dxf)"}},
	{"address as machine", "(../machines/bench-router.md) => (https://example.org)", nil, []string{"link-refused https://example.org"}},
	{"no notebook in a brush's place", sable + " => [reeds](reeds.dxf)", nil, []string{"not-a-notebook reeds.dxf"}},
	{"machine in a brush's place", sable + " => [m](../machines/bench-router.md)", nil, []string{"wrong-notebook ../machines/bench-router.md"}},
	{"two machines", "(../machines/bench-router.md) => (../machines/bench-router.md) or [b](../machines/b.md)",
		fstest.MapFS{"machines/b.md": {Data: []byte("# B\n## Machine\n| m | |\n|---|---|\n| bed | ± 1 mm |\n")}}, []string{"two-sources [b](../machines/b.md)"}},
	{"an address as a remark", "## Registration => See [the maker](https://example.org) as well.\n\n## Registration", nil, []string{"link-refused https://example.org"}},
	{"an address as a remark next to a table", "| size | A5 landscape | => | size | A5 landscape |\n\nFrom [the mill](https://example.org).", nil, nil},
	{"two columns too many", "| size | A5 landscape | => | size | A5 landscape |\n\n| a | b | c |\n|---|---|---|\n| margin | 8 mm | x |", nil, []string{"two-columns | a | b | c |\n|---|---|---|"}},
	{"value without a word", "| size | A5 landscape | => | size | A5 landscape |\n| | 8 mm |", nil, []string{"missing-word "}},
	{"empty value", "| size | A5 landscape | => | size | A5 landscape |\n| margin | |", nil, []string{"hint unused-row margin"}},
	{"empty line of a table", "| corner | 15 mm | 15 mm | 8 mm | => | corner | 15 mm | 15 mm | 8 mm |\n| | | | |", nil, []string{"hint unused-row | | | | |"}},
	{"unknown row far from all", "| size | A5 landscape | => | size | A5 landscape |\n| smell | none |", nil, []string{"unknown-row smell"}},
	{"row of another section", "| size | A5 landscape | => | size | A5 landscape |\n| z feed | 2 mm/s |", nil, []string{"unknown-row z feed"}},
	{"unit in a row's word", "| size | A5 landscape | => | size | A5 landscape |\n| margin (mm) | 8 |", nil, nil},
	{"no unit in a row's word", "| size | A5 landscape | => | size | A5 landscape |\n| margin (mn) | 8 |", nil, []string{"unknown-unit mn"}},
	{"unit in a header", "| mark | x | y | size | => | mark | x (mm) | y (cm) | size |", nil, nil},
	{"column twice", "| mark | x | y | size | => | mark | x | x | size |", nil, []string{"defined-twice x"}},
	{"column without a word", "| mark | x | y | size | => | mark | x | y | |", nil, []string{"missing-column | mark | x | y | |\n|---|---|---|---|", "unknown-column "}},
	{"no lines", "| corner | 15 mm | 15 mm | 8 mm |\n => ", nil, []string{"missing-table | mark | x | y | size |\n|---|---|---|---|"}},
	{"no table", "| mark | x | y | size |\n|---|---|---|---|\n| corner | 15 mm | 15 mm | 8 mm |\n => ", nil, []string{"missing-table Registration"}},
	{"section twice", "## Layers => ## Registration\n\n## Layers", nil, []string{"defined-twice Registration"}},
	{"a name that is not wanted", "## Layers => ## Layers: four", nil, []string{"warning heading-name four"}},
	{"more words in a heading", "## Layers => ## Layers of paint", nil, nil},
	{"no letters in a name", "| corner => | !!", nil, []string{"wrong-name !!"}},
	{"a very long name", "| corner => | " + strings.Repeat("long ", 13), nil, []string{"wrong-name " + strings.TrimSpace(strings.Repeat("long ", 13))}},
	{"margins too wide", "| size | A5 landscape | => | size | A5 landscape |\n| margin | 80 mm |", nil, []string{"off-sheet 80 mm", "warning unusual 80 mm"}},
	{"explicit size", "A5 landscape => 148 x 210 mm", nil, nil},
	{"size in inches", "A5 landscape => 8.5 × 11 in", nil, nil},
	{"two units", "A5 landscape => 21 cm x 297 mm", nil, nil},
	{"size without a unit", "A5 landscape => 148 x 210", nil, []string{"missing-unit 210"}},
	{"size and way that differ", "A5 landscape => 148 x 210 mm landscape", nil, []string{"unknown-word 148 x 210 mm landscape"}},
	{"tiny sheet", "A5 landscape => 1 x 2 mm", nil, []string{"out-of-range 1 x 2 mm"}},
	{"no size at all", "A5 landscape => rather large", nil, []string{"unknown-size rather large"}},
	{"turned", "| size | A5 landscape | => | size | A5 landscape |\n| turned | 45° |", nil, []string{"unknown-word 45°"}},
	{"turned by a word", "| size | A5 landscape | => | size | A5 landscape |\n| turned | 90 deg |", nil, nil},
	{"edition", "| size | A5 landscape | => | size | A5 landscape |\n| edition | many |", nil, []string{"not-a-count many"}},
	{"decimals", "(../machines/bench-router.md) => (../machines/bench-router.md)\n\n| m | |\n|---|---|\n| decimals | 5 |", nil, []string{"not-a-count 5"}},
	{"ink with digits wrong", "| ochre | => | moss #5f6f3 |", nil, []string{"unknown-ink #5f6f3"}},
	{"ink with its colour", "| ochre | => | river mud #5F6F3A |", nil, nil},
	{"ink unlike all", "| ochre | => | river mud |", nil, []string{"unknown-ink river mud"}},
	{"ink of a notebook", "| ochre | => | [indigo](../inks/indigo.md) |", nil, nil},
	{"ink of a brush", "| ochre | => | [indigo](../brushes/broad.md) |", nil, []string{"wrong-notebook ../brushes/broad.md"}},
	{"brush by name only", sable + " => fine sable", nil, []string{"unknown-brush fine sable"}},
	{"brush of this recipe", sable + " => soft,,## Layers => ## Brush: soft\n| b | |\n|---|---|\n| widest mark | 2 mm |\n| safe press | 2 mm |\n\n## Layers", nil, nil},
	{"caliper as a formula", "", brush(good + "| caliper | `0.01*mm + 0.01*mm` |\n"), []string{"plain-value `0.01*mm + 0.01*mm`"}},
	{"marks wider than the widest", "", brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1 mm | 2.6 mm |\n"), []string{"no-curve 2.6 mm"}},
	{"marks deeper than the safe press", "", brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 6 mm | 2.3 mm |\n"), []string{"no-curve 6 mm"}},
	{"touch mark too wide", "", brush(good + "| touch mark | 2.5 mm |\n"), []string{"no-curve 2.4 mm", "warning unusual 2.5 mm"}},
	{"marks that fall a little", "", brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1 mm | 0.60 ± 0.02 mm |\n| 1.2 mm | 0.59 ± 0.02 mm |\n"),
		[]string{"warning pooled-mark 0.60 ± 0.02 mm", "warning pooled-mark 0.59 ± 0.02 mm"}},
	{"swatch without marks", "", brush(good + "\n## Swatch\nNone yet.\n"), []string{"warning missing-table Swatch"}},
	{"swatch of another brush", "", brush(good + "\n## Swatch: fine sabel\n| press | width |\n|---|---|\n| 1 mm | 0.6 mm |\n"), []string{"unknown-brush fine sabel"}},
	{"swatch without a brush", "## Layers => ## Swatch: soft\n| press | width |\n|---|---|\n| 1 mm | 0.6 mm |\n\n## Layers", nil, []string{"unknown-brush soft"}},
	{"lag of a swatch", "", brush(good + "\n## Swatch\n| press | width | lag |\n|---|---|---|\n| 1 mm | 0.6 mm | 0.4 mm |\n| 2 mm | 1.2 mm | |\n"), nil},
	{"lag of a row and of a swatch", "", brush(good + "| lag | 1 mm |\n\n## Swatch\n| press | width | lag |\n|---|---|---|\n| 1 mm | 0.6 mm | 0.4 mm |\n"), []string{"defined-twice lag"}},
	{"lag without a length", "", brush(good + "| lag | 1 mm/min |\n"), []string{"wrong-dimension 1 mm/min"}},
	{"lag that leads forward", "", brush(good + "\n## Swatch\n| press | width | lag |\n|---|---|---|\n| 1 mm | 0.6 mm | -1 mm |\n"), []string{"out-of-range -1 mm"}},
	{"± and value changed places", "", brush("| widest mark | 0.05 ± 2.4 mm |\n| safe press | 5 mm |\n"), []string{"wrong-uncertainty 0.05 ± 2.4 mm"}},
	{"two swatches", "", brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1 mm | 0.6 mm |\n\n## Swatch: fine sable\n| press | width |\n|---|---|\n| 1 mm | 0.6 mm |\n"), []string{"defined-twice Swatch: fine sable"}},
	{"no line can be promised", "", brush(good + "| touch | 3 mm |\n"), []string{"warning no-promise Brush: fine sable", "warning unusual 3 mm", "warning low-safe-height 6 mm"}},
	{"brush without rows", "", brush(""), []string{"missing-row | brush | |\n|---|---|", "missing-row | brush | |\n|---|---|"}},
	{"curve that needs itself", "", brush("| widest mark | `2*width_at(brush, 1*mm)` |\n| safe press | 5 mm |\n"), []string{"formula-loop brush"}},
	{"formula on a brush without a curve", "", brush("| widest mark | 2.4 |\n| safe press | 5 mm |\n\n```working\na = width_at(brush, 1*mm)\n```\n"), []string{"missing-unit 2.4", "warning unknown-name brush"}},
	{"two brushes of one name", "## Layers => ## Swatch: fine sable\nSee [another](../brushes/other.md).\n\n## Layers",
		fstest.MapFS{"brushes/other.md": {Data: []byte("# Fine sable\n## Brush\n| brush | |\n|---|---|\n" + good)}}, []string{"defined-twice Brush: fine sable", "warning missing-table Swatch: fine sable"}},
	{"formula and row of one name", "", brush(good + "\n```working\ntouch = 1*mm\n```\n"), []string{"defined-twice touch"}},
	{"unused formula", "## Layers => ```working\nx1 = 2*mm\n```\n\n## Layers", nil, []string{"hint unused-formula x1"}},
	{"unused brush", "## Layers => ## Brush: soft\n| b | |\n|---|---|\n| widest mark | 2 mm |\n| safe press | 2 mm |\n\n## Layers", nil, []string{"hint unused-brush Brush: soft"}},
	{"two sheets", "## Machine => ## Sheet: large\n| s | |\n|---|---|\n| size | A3 |\n\n## Machine", nil, []string{"two-sources Sheet: large"}},
	{"two machine sections", "## Registration => ## Machine: old\n| m | |\n|---|---|\n| bed | ± 1 mm |\n\n## Registration", nil, []string{"two-sources Machine: old"}},
	{"ink of this recipe", "| ochre | => | Plum Jam |,,## Layers => ## Ink: plum jam\n| i | |\n|---|---|\n| colour | #5a2a3a |\n\n## Layers", nil, nil},
	{"ink of this recipe, misspelt", "| ochre | => | plum jem |,,## Layers => ## Ink: plum jam\n| i | |\n|---|---|\n| colour | #5a2a3a |\n\n## Layers", nil, []string{"unknown-ink plum jem"}},
	{"ink that is called by itself", "| ochre | => | jam |,,## Layers => ## Ink: jam\n| i | |\n|---|---|\n| colour | jam |\n\n## Layers", nil, []string{"unknown-ink jam"}},
	{"unused ink", "## Layers => ## Ink: plum jam\n| i | |\n|---|---|\n| colour | #5a2a3a |\n\n## Layers", nil, []string{"hint unused-ink Ink: plum jam"}},
	{"the same again", "(../machines/bench-router.md) => (../machines/bench-router.md)\n\n| m | |\n|---|---|\n| z feed | 500 mm/min |", nil, []string{"hint unused-row z feed"}},
	{"width as a formula", "| feed |\n|---|---|---|---|---| => | width |\n|---|---|---|---|---|,,900 mm/min => `0.4*mm + 1*mm*along`", nil, nil},
	{"width as an area", "| feed |\n|---|---|---|---|---| => | width |\n|---|---|---|---|---|,,900 mm/min => `2*mm*length`", nil, []string{"wrong-dimension 2*mm*length"}},
	{"width, a name misspelt", "| feed |\n|---|---|---|---|---| => | width |\n|---|---|---|---|---|,,900 mm/min => `2*mm*allong`", nil, []string{"unknown-name allong"}},
	{"width without a unit", "| feed |\n|---|---|---|---|---| => | width |\n|---|---|---|---|---|,,900 mm/min => 0.4", nil, []string{"missing-unit 0.4"}},
	{"one bar for or", "900 mm/min => `1 < 2 \\| 3 < 4`", nil, []string{`not-allowed \|`}},
	{"two bars", "900 mm/min => `1 \\|\\| 3 < zz`", nil, []string{"unknown-name zz"}},
	{"two bars between lengths", "900 mm/min => `2*mm \\|\\| 3 < 4`", nil, []string{`dimension-error \|\|`}},
	{"a table of a single bar", "## Layers => ## Brush: soft\n|\n|-\n|\n\n## Layers", nil, []string{"two-columns |\n|-"}},
	{"a table of a single bar in the prose", "## Layers => ## Bruh\n|\n|-\n|\n\n## Layers", nil, nil},
	{"shares", "| feed |\n|---|---|---|---|---| => | overlap |\n|---|---|---|---|---|,,900 mm/min => 95 %", nil, []string{"out-of-range 95 %"}},
	{"a hand where the order is short", "| layer | drawing | brush | ink | feed |\n|---|---|---|---|---| => | layer | drawing | brush | ink | feed | hand |\n|---|---|---|---|---|---| ,, ochre | 900 mm/min | => ochre | 900 mm/min | left |", nil, []string{"hint changes-nothing left"}},
	{"a hand where the order is written", "| layer | drawing | brush | ink | feed |\n|---|---|---|---|---| => | layer | drawing | brush | ink | feed | hand | order |\n|---|---|---|---|---|---|---| ,, ochre | 900 mm/min | => ochre | 900 mm/min | left | written |", nil, nil},
	{"a hand where strokes are pulled", "| layer | drawing | brush | ink | feed |\n|---|---|---|---|---| => | layer | drawing | brush | ink | feed | hand | pulled |\n|---|---|---|---|---|---|---| ,, ochre | 900 mm/min | => ochre | 900 mm/min | left | yes |", nil, nil},
	{"the right hand is the default", "| layer | drawing | brush | ink | feed |\n|---|---|---|---|---| => | layer | drawing | brush | ink | feed | hand |\n|---|---|---|---|---|---| ,, ochre | 900 mm/min | => ochre | 900 mm/min | right |", nil, nil},
	{"a section that changes nothing", "## Layers => ## Flatness\n| x | y | height |\n|---|---|---|\n| 1 cm | 2 cm | 0.1 mm |\n\n## Layers", nil, []string{"warning changes-nothing Flatness"}},
	{"faults in Results are warnings", "## Layers => ## Results\n### One\n| strip | asked | measured |\n|---|---|---|\n| a | 0.6 | 0.7 mm | x |\n| b | 0.6 | 0.7 mm |\n\n## Layers", nil,
		[]string{"warning surplus-cell 0.7 mm | x", "warning missing-unit 0.6"}},
	{"faults in widths of a painting are warnings", "## Layers => ## Results\n### One\n| layer | press | asked | measured |\n|---|---|---|---|\n| fish | 1 mm | 0.6 mm | 0.7 mm |\n| reeds | 1 mm | 0.6 | 0.7 mm |\n| reeds | -1 mm | 0.6 mm | 0.7 ± 0.01 mm |\n\n## Layers", nil,
		[]string{"warning unknown-layer fish", "warning missing-unit 0.6", "warning out-of-range -1 mm"}},
	{"widths of a painting without the press", "## Layers => ## Results\n### One\n| layer | press | measured |\n|---|---|---|\n| reeds | 1 mm | 0.7 mm |\n\n## Layers", nil, []string{"warning missing-column | layer | press | measured |\n|---|---|---|"}},
	{"a table of Results that only has a press", "## Layers => ## Results\n### One\n| layer | press | who |\n|---|---|---|\n| any | deep | fern |\n\n## Layers", nil, nil},
	{"formulas in Results keep their errors", "## Layers => ## Results\n```working\nslow = 2*mm +\n```\n\n## Layers,,900 mm/min => `slow`", nil, []string{"formula-syntax +"}},
	{"links in Results lead nowhere", "## Layers => ## Results\n[a](../../out.md) [b](missing.md)\n\n| note | remark |\n|---|---|\n| [c](missing.md) | free |\n\n## Layers", nil, nil},
	{"a formula in the prose that has no value", "# Reeds => # Reeds\nPressed by `press_for(fine_sable, 1)`, or `press_for(fine_sable, 1*mm)`.", nil, []string{"warning dimension-error 1"}},
	{"code in the prose that is no formula of ours", "# Reeds => # Reeds\nAs in `press_for(any, 1)` and `x < 2` and `a b`.", nil, nil},
	{"a picture that is not there", "# Reeds => # Reeds\n![a](photos/2.png) ![b](../../c.png)", nil, []string{"warning missing-picture photos/2.png", "warning missing-picture ../../c.png"}},
	{"formula with a unit", "900 mm/min => base - 50 mm/min,,## Layers => `base`\n```working\nbase = 900*mm/min\n```\n\n## Layers", nil, []string{"not-a-quantity base - 50 mm/min"}},
	{"formula behind an equals sign", "900 mm/min => =2*450*mm/min", nil, []string{"not-a-quantity =2*450*mm/min"}},
	{"formula that calls", "900 mm/min => max(1 mm/s, 2 mm/s)", nil, []string{"not-a-quantity max(1 mm/s, 2 mm/s)"}},
	{"formula with a share", "900 mm/min => 80 % * base", nil, []string{"not-a-quantity 80 % * base"}},
	{"difference", "900 mm/min => 900 - 50 mm/min", nil, []string{"not-a-quantity 900 - 50 mm/min"}},
	{"range", "900 mm/min => 600 mm/min to 900 mm/min", nil, []string{"not-a-quantity 600 mm/min to 900 mm/min"}},
	{"range of numbers", "900 mm/min => 600–900 mm/min", nil, []string{"not-a-quantity 600–900 mm/min"}},
	{"formula over rows", "900 mm/min => machine.z_feed x 2", nil, []string{"not-a-quantity machine.z_feed x 2"}},
	{"title underlined as a merge marker is", "# Reeds => Reeds\n=======\n\nText\n=======\n", nil, nil},
	{"a deep quote", "# Reeds => # Reeds\n\n>>>>>>> deep", nil, nil},
	{"merge markers without the first", "# Reeds => # Reeds\n\nA\n=======\nB\n>>>>>>> wide", nil, []string{"merge-marker >>>>>>> wide"}},
	{"two merges", "# Reeds => # Reeds\n<<<<<<< HEAD\nA\n=======\nB\n>>>>>>> x\n\n<<<<<<< HEAD\nC\n=======\n>>>>>>> x", nil, []string{"merge-marker <<<<<<< HEAD", "merge-marker <<<<<<< HEAD"}},
	{"merge markers in a brush", "", fstest.MapFS{"brushes/fine-sable.md": {Data: []byte("# Fine sable\n<<<<<<< HEAD\n## Brush\n")}}, []string{"merge-marker <<<<<<< HEAD"}},
	{"paper that is prose", "## Layers => ## Paper\nHot-pressed.\n\n## Layers", nil, nil},
	{"paper for a sheet that is linked", "## Sheet\n| sheet | |\n|---|---|\n| size | A5 landscape |\n => ## Paper\n[hot-pressed](../papers/hot-pressed.md)\n", nil, []string{"unknown-section Paper"}},
	{"sheet in another language", "## Sheet => ## Blatt", nil, []string{"unknown-section Blatt"}},
	{"machine with a name, in other words", "## Machine\n[bench router](../machines/bench-router.md) => ## Router: old\n| m | |\n|---|---|\n| reach x | 1 m |\n| reach y | 1 m |\n| reach z | 6 cm |", nil, []string{"unknown-section Router: old"}},
	{"bar missing before an empty cell", "| size | A5 landscape | => | size | A5 landscape |\n| margin 8 mm | |", nil, []string{"unknown-row margin 8 mm | "}},
	{"bar missing between links", "[reeds](reeds.dxf) | [fine => [reeds](reeds.dxf) [fine", nil, []string{"missing-value [reeds](reeds.dxf) " + sable}},
	{"a row in more words", "| size | A5 landscape | => | size | A5 landscape |\n| margin all round | 8 mm |", nil, []string{"unknown-row margin all round"}},
	{"a machine's row in more words", "(../machines/bench-router.md) => (../machines/bench-router.md)\n\n| m | |\n|---|---|\n| the safe height of it | 7 mm |", nil, []string{"unknown-row the safe height of it"}},
	{"a feed that is too slow for any unit", "900 mm/min => 0.001 mm/min", nil, []string{"out-of-range 0.001 mm/min"}},
	{"a negative offset", "| feed |\n|---|---|---|---|---| => | offset x |\n|---|---|---|---|---|,,900 mm/min => -1.5 mm", nil, nil},
	{"a slow feed", "900 mm/min => 5 mm/min", nil, []string{"warning unusual 5 mm/min"}},
	{"a sheet turned askew", "| size | A5 landscape | => | size | A5 landscape |\n| turned | 45° |", nil, []string{"unknown-word 45°"}},
	{"safe press half beyond the last mark", "", brush("| widest mark | 2.2 mm |\n| safe press | 6 mm |\n\n## Swatch\n| press | width |\n|---|---|\n| 4 mm | 2.1 mm |\n"), nil},
	{"safe press more than half beyond", "", brush("| widest mark | 2.2 mm |\n| safe press | 6.1 mm |\n\n## Swatch\n| press | width |\n|---|---|\n| 4 mm | 2.1 mm |\n"), []string{"far-safe-press 6.1 mm"}},
	{"safe press far beyond, but the width grows on", "", brush("| widest mark | 5 mm |\n| safe press | 9 mm |\n\n## Swatch\n| press | width |\n|---|---|\n| 4 mm | 2.1 mm |\n"), nil},
	{"half of the hair", "", brush(good + "| hair | 10 mm |\n"), nil},
	{"hair by a formula", "", brush(good + "| hair | `brush.safe_press * 1.9` |\n"), []string{"far-safe-press 5 mm"}},
	{"safe press over half the hair, in the recipe", "## Layers => ## Brush: fine sable\n| b | |\n|---|---|\n| safe press | 6 mm |\n\n## Layers", brush(good + "| hair | 11 mm |\n"), []string{"far-safe-press 6 mm"}},
	{"swatch with swapped columns that widens too far", "", brush(good + "\n## Swatch\n| width | press |\n|---|---|\n| 1.0 mm | 0.7 mm |\n| 3.0 mm | 1.6 mm |\n"), []string{"swapped-columns width | press"}},
	{"one mark wider than the widest", "", brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1.0 mm | 2.6 mm |\n"), []string{"no-curve 2.6 mm"}},
	{"too large", "", fstest.MapFS{"brushes/fine-sable.md": {Data: make([]byte, 5<<20)}}, []string{"too-large ../brushes/fine-sable.md"}},
	{"no text", "", fstest.MapFS{"brushes/fine-sable.md": {Data: []byte("# Fine\xff")}}, []string{"not-text \xff"}},
}

func TestProblems(t *testing.T) {
	for _, test := range problemCases {
		t.Run(test.name, func(t *testing.T) {
			root := studio(t)
			root["heron/reeds.md"] = &fstest.MapFile{Data: []byte(edited(t, reeds, test.edit))}
			for name, file := range test.files {
				root[name] = file
			}
			_, list := recipe.Read(root, "heron/reeds.md")
			var got []string
			for _, p := range list {
				line := string(p.Code) + " " + p.Place.Text()
				if p.Severity != problem.Error {
					line = p.Severity.String() + " " + line
				}
				got = append(got, line)
				checkPlace(t, p)
			}
			if strings.Join(got, "\n") != strings.Join(test.want, "\n") {
				t.Errorf("got %q\nwant %q\n%v", got, test.want, list)
			}
		})
	}
}

// edited replaces texts: old => new, several with ,, between them.
func edited(t *testing.T, text, edits string) string {
	t.Helper()
	if edits == "" {
		return text
	}
	for pair := range strings.SplitSeq(edits, ",,") {
		old, after, _ := strings.Cut(pair, " => ")
		if !strings.Contains(text, old) {
			t.Fatalf("no %q", old)
		}
		text = strings.Replace(text, old, after, 1)
	}
	return text
}

// checkPlace checks what is true of every problem.
func checkPlace(t *testing.T, p problem.Problem) {
	t.Helper()
	at := p.Place
	if !at.Known() || at.Start < 0 || at.End < at.Start || at.End > len(at.File.Data) {
		t.Errorf("%s is at %d to %d", p, at.Start, at.End)
	}
	if p.Fix.None() || p.Message == "" || strings.HasSuffix(p.Message, ".") || strings.ContainsAny(p.Message, "\n") {
		t.Errorf("%s has no fix, or its message is no line", p)
	}
	for _, r := range p.Related {
		if !r.Place.Known() || r.Note == "" {
			t.Errorf("%s points nowhere", p)
		}
	}
}

func TestNoRecipe(t *testing.T) {
	root := studio(t)
	root["heron/.md"] = root["heron/heron.md"]
	for _, name := range []string{"heron/missing.md", "heron", "../x.md", "", "/x.md", "heron/missing/x.md", "heron/.md"} {
		job, list := recipe.Read(root, name)
		if len(list) != 1 || list[0].Severity != problem.Error || job == nil {
			t.Errorf("%q: %v", name, list)
		}
	}
}

// A recipe without a name would have a job without one.
func TestRecipeWithoutAName(t *testing.T) {
	root := studio(t)
	for name, want := range map[string]string{".md": "pond.md", "heron/.md": "heron/pond.md"} {
		root[name] = root["heron/heron.md"]
		_, list := recipe.Read(root, name)
		if len(list) != 1 || list[0].Code != problem.WrongName || !strings.Contains(list[0].Fix.Advice, want) {
			t.Errorf("%s: %v", name, list)
		}
	}
}

// No fix that can be applied writes what only a measurement can say: wherever
// a measured value is left out or wrong, the fix says how to measure it.
func TestFixesInventNoMeasurement(t *testing.T) {
	for _, s := range []*schema.Section{schema.Find(schema.Brush), schema.Find(schema.Machine), schema.Find(schema.Swatch), schema.Find(schema.Registration), schema.Find(schema.Results)} {
		for _, f := range s.Fields() {
			if f.Required && f.Kind == schema.Quantity && f.Measure == "" {
				t.Errorf("%s: nothing says how to measure %s", s.Word, f.Word)
			}
		}
	}
	wrong := map[string]fstest.MapFS{
		"no rows":        brush("| touch | 0.1 mm |\n"),
		"negative":       brush("| widest mark | -1 mm |\n| safe press | 0 mm |\n"),
		"short marks":    brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1 mm |\n| | 2 mm |\n"),
		"empty marks":    brush(good + "\n## Swatch\n| press | width |\n|---|---|\n| 1 mm | |\n"),
		"machine":        {"machines/bench-router.md": {Data: []byte("# Bench\n## Machine\n| m | |\n|---|---|\n| bed | ± 0.2 mm |\n")}},
		"empty machine":  {"machines/bench-router.md": {Data: []byte("# Bench\n## Machine\n")}},
		"machine's name": {"machines/bench-router.md": {Data: []byte("# Bench\n")}, "studio.md": {Data: []byte("# S\n")}},
	}
	job := func(old, after string) fstest.MapFS {
		return fstest.MapFS{"heron/reeds.md": {Data: []byte(strings.Replace(reeds, old, after, 1))}}
	}
	wrong["no size"] = job("| size | A5 landscape |", "| margin | 8 mm |")
	wrong["no sheet"] = job("## Sheet\n| sheet | |\n|---|---|\n| size | A5 landscape |\n", "")
	wrong["no marks"] = job("| corner | 15 mm | 15 mm | 8 mm |\n", "")
	wrong["empty mark"] = job("| corner | 15 mm | 15 mm | 8 mm |", "| corner | | 15 mm |")
	wrong["two marks of a name"] = job("| 8 mm |\n", "| 8 mm |\n| corner | 30 mm | 15 mm | 8 mm |\n")
	wrong["wide margins"] = job("| size | A5 landscape |", "| size | A5 landscape |\n| margin | 80 mm |")
	for what, files := range wrong {
		root := studio(t)
		root["heron/reeds.md"] = &fstest.MapFile{Data: []byte(reeds)}
		for name, file := range files {
			root[name] = file
		}
		_, list := recipe.Read(root, "heron/reeds.md")
		if !list.HasErrors() {
			t.Errorf("%s: nothing is wrong", what)
		}
		for _, p := range list {
			if p.Severity == problem.Error && p.Fix.CanApply() {
				t.Errorf("%s: %s writes %q", what, p, p.Fix.Advice)
			}
		}
	}
}

func TestEmptyRecipe(t *testing.T) {
	root := fstest.MapFS{"a.md": {Data: nil}}
	_, list := recipe.Read(root, "a.md")
	codes := map[string]int{}
	for _, p := range list {
		codes[string(p.Code)]++
		checkPlace(t, p)
	}
	if codes["missing-section"] != 3 || codes["missing-title"] != 1 || len(list) != 4 {
		t.Error(list)
	}
}
