// Command draw draws the pictures of the guide, always the same bytes:
//
//	go run ./notebooks/guide/draw
//
// Most strokes are written as what a drawing of brush strokes usually holds:
// their outline, here a closed polyline of arcs.
package main

import "mahlstick/notebooks/brushwork"

func main() { brushwork.Command("notebooks/guide", files()) }

func files() []brushwork.File {
	var out []brushwork.File
	for _, p := range pictures() {
		out = append(out, brushwork.File{Name: p.name, Out: p.out})
	}
	return append(out, brushwork.File{Name: "12-colours", SVG: robin()})
}
