// Command svg holds what runner/drawing reads from SVG files against a
// general-purpose renderer: the file itself and the contours that were read
// from it are rendered side by side, and their coverage compared pixel by pixel.
//
//	go run ./.ci/svg [-random N] [-seed N] [-renderer rsvg|chromium] [-keep FOLDER] [FILE.svg ...]
//
// The files must be read without a warning. Random pages combine what SVG has
// (the table in runner/drawing/svg is the list); they may be read otherwise than
// they look only where a problem says so. Librsvg does not know all of SVG 2, so
// for it some of that is left out of the random pages; chromium knows it.
//
// The sum of the differences may be at most 0.2 % of the area, in random pages
// without those below a third of a pixel. It ends with 1
// if a picture differs by more.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

// limit is the share of the area that may differ.
const limit = 0.002

func main() {
	random := flag.Int("random", 0, "how many random pages to compare")
	seed := flag.Uint64("seed", 1, "where the random pages begin")
	renderer := flag.String("renderer", "rsvg", "rsvg or chromium")
	keep := flag.String("keep", "", "the folder for random pages that differ")
	flag.Parse()
	draw := rsvg
	if *renderer == "chromium" {
		draw = chromium
	}
	var list []*picture
	for _, path := range flag.Args() {
		data, err := os.ReadFile(path)
		if err != nil {
			fail(err)
		}
		list = append(list, &picture{name: filepath.Base(path), data: data, strict: true})
	}
	for i := range uint64(*random) {
		data := page(*seed+i, *renderer == "chromium")
		list = append(list, &picture{name: fmt.Sprintf("random-%d.svg", *seed+i), data: data})
	}
	if len(list) == 0 {
		fail(fmt.Errorf("no pictures"))
	}
	if err := compareAll(list, draw); err != nil {
		fail(err)
	}
	if bad := summary(list, *keep); bad > 0 {
		os.Exit(1)
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// summary prints what differs and gives the number of these pictures.
func summary(list []*picture, keep string) (bad int) {
	named, worst := 0, 0.0
	for _, p := range list {
		switch {
		case p.err != nil || p.difference > limit && len(p.problems) == 0 || p.strict && len(p.problems) > 0:
			bad++
			fmt.Printf("%s: %.3f %% of the area differs %v %v\n", p.name, 100*p.difference, p.err, p.problems)
			if keep != "" && !p.strict {
				if err := os.WriteFile(filepath.Join(keep, p.name), p.data, 0o644); err != nil {
					fail(err)
				}
			}
		case p.difference > limit:
			named++
		default:
			worst = max(worst, p.difference)
		}
	}
	silent := 0
	for _, p := range list {
		if len(p.problems) == 0 {
			silent++
		}
	}
	fmt.Printf("%d pictures compared: %d differ; %d of the others are read without a word, at most %.3f %% from what they show; %d differ and a problem says so\n",
		len(list), bad, silent, 100*worst, named)
	return bad
}
