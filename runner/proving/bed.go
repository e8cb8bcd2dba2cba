package proving

import (
	"fmt"

	"mahlstick/recipe/model"
	"mahlstick/runner/proof"
)

// surface is the height of the paper in the machine's coordinates, fitted anew
// from the heights that the recipe states; nil if Z follows no surface. The bed
// stays where it is when the sheet moves, so its places are those at which the
// sheet was at its stops; they move only with the machine's zero, by a seating
// that may be nil.
func surface(s *model.Sheet, f sheetFrame, moved *seat) (*proof.Bed, error) {
	if s.Surface == nil {
		return nil, nil
	}
	zeroX, zeroY := 0.0, 0.0
	if moved != nil {
		zeroX, zeroY = moved.zeroX, moved.zeroY
	}
	at := func(x, y float64) (float64, float64) {
		x, y = f.onBed(x, y)
		return x + zeroX, y + zeroY
	}
	var touches []proof.Point
	for _, t := range s.Surface.Touches() {
		x, y := at(t.X, t.Y)
		touches = append(touches, proof.Point{X: x, Y: y, Z: t.Height})
	}
	x, y := at(s.TouchOff.X, s.TouchOff.Y)
	area := f.box()
	area.MinX, area.MaxX, area.MinY, area.MaxY = area.MinX+zeroX, area.MaxX+zeroX, area.MinY+zeroY, area.MaxY+zeroY
	b, err := proof.NewBed(touches, proof.Point{X: x, Y: y}, area, s.Surface.Curved())
	if err != nil {
		return nil, fmt.Errorf("the bed of %s: %w", s.Size, err)
	}
	return b, nil
}

// knownSurface is surface for programs that are checked after those of the layers,
// which have found the heights to make a surface.
func knownSurface(s *model.Sheet, f sheetFrame, moved *seat) *proof.Bed {
	b, err := surface(s, f, moved)
	if err != nil {
		return nil
	}
	return b
}
