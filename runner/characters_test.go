package runner_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"mahlstick/runner"
)

// Characters of the npm package hanzi-writer-data 2.0.1, each stroke with its
// outline and, as the truth about its direction and its place in the order, a
// rough centre line ("median"). testdata/characters holds a dozen with their
// licence; -characters takes the unpacked package instead (.ci/written).
var charactersFlag = flag.String("characters", "", "directory of the unpacked package hanzi-writer-data")

// A sheet holds rows of characters, in mm.
const (
	characterSide = 60.0
	pitch         = 70.0 // from one to the next
	inRow, rows   = 5, 4
	sheetWidth    = pitch*inRow + 10
	sheetHeight   = pitch*rows + 10
	unitMM        = characterSide / 1024 // of the data: 1024 units to the side
	belowLine     = 124                  // units that a character reaches below its zero
)

// The recipe of a sheet. The brush is a cone, wide enough for every stroke: a
// mark is twice as wide as the press is deep.
const charactersRecipe = `# Characters

## Sheet

| sheet  |              |
|--------|--------------|
| size   | %g x %g mm |
| margin | 2 mm         |

## Machine

| machine     |             |
|-------------|-------------|
| reach x     | 500 mm      |
| reach y     | 500 mm      |
| reach z     | 60 mm       |
| z feed      | 900 mm/min  |

## Brush: broad

| brush       |         |
|-------------|---------|
| widest mark | 24 mm   |
| safe press  | 12 mm   |

## Layers

| layer | drawing              | brush | ink           | order | hairlines |
|-------|----------------------|-------|---------------|-------|-----------|
| text  | [text](text.svg)     | broad | black #000000 | %s    | paint     |
`

// TestCharacters paints characters with the order of writing and measures from
// the text of the programs alone: how many strokes are one contact, run as they
// are written and follow each other as they are written, and how well what is
// painted is what was drawn.
func TestCharacters(t *testing.T) {
	all := extractOfCharacters(t)
	if *charactersFlag != "" {
		all = packageOfCharacters(t, *charactersFlag)
	}
	sum := paintCharacters(t, all, "written")
	t.Log("\n" + sum.table())
	if testing.Verbose() && len(all) < 50 {
		t.Logf("out of order: %s; against their direction: %s", strings.Join(sum.outOfOrder, " "), strings.Join(sum.against, " "))
	}
	total := sum.whole
	if total.once < 0.97*total.strokes {
		t.Errorf("%.0f of %.0f strokes are painted in one contact", total.once, total.strokes)
	}
	if total.right < 0.95*total.strokes {
		t.Errorf("%.0f of %.0f strokes run as they are written", total.right, total.strokes)
	}
	if total.inOrder < 0.85*total.pairs {
		t.Errorf("%.0f of %.0f pairs of strokes are in the order of writing", total.inOrder, total.pairs)
	}
	if sum.jumps > 0 {
		t.Errorf("%d strokes come before one of a character to their left or above them", sum.jumps)
	}
	if sum.covered < 0.999*sum.drawn || sum.spilt > 0.001*sum.drawn {
		t.Errorf("covered %.4f %%, spilt %.4f %%", 100*sum.covered/sum.drawn, 100*sum.spilt/sum.drawn)
	}
	if p99, worst := sum.edges.at(0.99), sum.edges.worst; p99 > 0.02 || worst > 0.06 {
		t.Errorf("the edge is off by %.4f mm at 99 of 100 places, %.4f mm at most", p99, worst)
	}
}

// The drawings list the strokes as they are written, so that as drawn all are in
// order, and run as they are written as often.
func TestCharactersAsDrawn(t *testing.T) {
	total := paintCharacters(t, extractOfCharacters(t), "as drawn").whole
	if total.inOrder != total.pairs || total.right < 0.95*total.strokes {
		t.Errorf("%.0f of %.0f pairs in order, %.0f of %.0f strokes in their direction", total.inOrder, total.pairs, total.right, total.strokes)
	}
}

// paintCharacters paints characters on as many sheets as they need, two at a
// time.
func paintCharacters(t *testing.T, all []character, order string) *figures {
	sum := &figures{kinds: map[string]*tally{}}
	var mutex sync.Mutex
	var group sync.WaitGroup
	free := make(chan struct{}, 2)
	for from := 0; from < len(all); from += inRow * rows {
		sheet := all[from:min(from+inRow*rows, len(all))]
		dir := t.TempDir()
		free <- struct{}{}
		group.Go(func() {
			defer func() { <-free }()
			program, err := writeSheet(dir, sheet, order)
			if err != nil {
				t.Error(err)
				return
			}
			found, err := judgeSheet(program, sheet)
			if err != nil {
				t.Error(err)
				return
			}
			mutex.Lock()
			defer mutex.Unlock()
			sum.add(found)
		})
	}
	group.Wait()
	return sum
}

// writeSheet makes the program of a sheet of characters in a folder of its own.
func writeSheet(dir string, sheet []character, order string) ([]byte, error) {
	var svg strings.Builder
	fmt.Fprintf(&svg, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`, sheetWidth, sheetHeight, sheetWidth, sheetHeight)
	for k, c := range sheet {
		x, y := placeOf(k)
		fmt.Fprintf(&svg, "\n"+`<g transform="matrix(%g 0 0 %g %g %g)">`, unitMM, -unitMM, x, sheetHeight-y)
		for _, s := range c.strokes {
			fmt.Fprintf(&svg, "\n"+`<path d="%s"/>`, s.path)
		}
		svg.WriteString("\n</g>")
	}
	svg.WriteString("\n</svg>\n")
	recipe := filepath.Join(dir, "text.md")
	if err := os.WriteFile(filepath.Join(dir, "text.svg"), []byte(svg.String()), 0o644); err != nil {
		return nil, err
	}
	if err := os.WriteFile(recipe, fmt.Appendf(nil, charactersRecipe, sheetWidth, sheetHeight, order), 0o644); err != nil {
		return nil, err
	}
	r, problems, err := runner.Run(recipe, runner.Options{Workers: 1})
	if err != nil {
		return nil, err
	}
	if problems.HasErrors() || r.Failed() {
		return nil, fmt.Errorf("%s: %v", sheet[0].name, problems)
	}
	return r.Layers[0].Program, nil
}

// placeOf is where the data's zero of a character lies on its sheet.
func placeOf(k int) (x, y float64) {
	return 10 + pitch*float64(k%inRow), sheetHeight - pitch*float64(k/inRow+1) + 2 + belowLine*unitMM
}
