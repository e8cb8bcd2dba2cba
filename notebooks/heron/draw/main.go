// Command draw draws the heron and writes its four drawings, always the same
// bytes:
//
//	go run ./notebooks/heron/draw
//
// Each stroke is a centre line with a swelling width; what is written is its
// outline, for that is what a drawing of brush strokes usually holds.
package main

import "mahlstick/notebooks/brushwork"

func main() { brushwork.Command("notebooks/heron", files()) }

// files draws the picture and gives its drawings, one an ink.
func files() []brushwork.File {
	p := paint()
	var out []brushwork.File
	for _, ink := range inks {
		out = append(out, brushwork.File{Name: ink, Out: p.file(ink)})
	}
	return out
}
