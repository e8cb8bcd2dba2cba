package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
)

const (
	border    = 20.0 // mm of white around the picture
	safePress = 6.0
	touchMark = 0.05
)

// studio is a recipe that paints a picture with one brush.
type studio struct {
	picture *picture
	widest  float64 // mark of the brush, mm
}

// width of the mark at a press, mm: by a brush without a swatch it grows evenly.
func (s *studio) width(press float64) float64 {
	return touchMark + (s.widest-touchMark)*press/safePress
}

func (s *studio) write(dir string) error {
	w, h := s.picture.width+2*border, s.picture.height+2*border
	recipe := fmt.Sprintf(`# Land

## Sheet
| sheet  |      |
|--------|------|
| size   | %g x %g mm |
| margin | 8 mm |

## Brush: round
| brush       |    |
|-------------|----|
| widest mark | %g mm |
| safe press  | %g mm |
| touch mark  | %g mm |

## Machine
| machine       |             |
|---------------|-------------|
| reach x       | 1900 mm     |
| reach y       | 1900 mm     |
| reach z       | 60 mm       |
| safe height   | 5 mm        |
| travel feed   | 3000 mm/min |
| lowering feed | 600 mm/min  |
| z feed        | 900 mm/min  |
| acceleration  | 150 mm/s²   |
| bed           | ± 0.1 mm    |

## Registration
| mark   | x     | y     | size |
|--------|-------|-------|------|
| corner | 13 mm | 13 mm | 8 mm |

## Layers
| layer | drawing            | brush | ink     | feed       |
|-------|--------------------|-------|---------|------------|
| land  | [land](coast.svg) | round | #203040 | 900 mm/min |
`, w, h, s.widest, safePress, touchMark)
	if err := os.WriteFile(filepath.Join(dir, "coast.md"), []byte(recipe), 0o644); err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(dir, "coast.svg"))
	if err != nil {
		return err
	}
	defer f.Close()
	out := bufio.NewWriter(f)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`+"\n", w, h, w, h)
	fmt.Fprintf(out, `<path d="M9 %gh8v8h-8z"/>`+"\n", h-17)
	for _, shape := range s.picture.shapes {
		fmt.Fprint(out, `<path fill-rule="evenodd" d="`)
		for _, ring := range shape {
			letter := "M"
			for _, q := range ring {
				fmt.Fprintf(out, "%s%.4f %.4f", letter, q.x+border, h-border-q.y)
				letter = "L"
			}
			fmt.Fprint(out, "Z\n")
		}
		fmt.Fprintln(out, `"/>`)
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}
