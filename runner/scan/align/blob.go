package align

import (
	"cmp"
	"math"
	"slices"

	"mahlstick/runner/vector"
)

// bitmap is a picture of ink and paper.
type bitmap struct {
	width, height int
	ink           []bool
}

func newBitmap(width, height int) *bitmap {
	return &bitmap{width, height, make([]bool, width*height)}
}

// at is false beyond the picture.
func (b *bitmap) at(x, y int) bool {
	return x >= 0 && y >= 0 && x < b.width && y < b.height && b.ink[y*b.width+x]
}

// holds reports whether there is ink at a place.
func (b *bitmap) holds(p vector.XY) bool {
	return b.has(p) && b.ink[int(p.Y)*b.width+int(p.X)]
}

// has reports whether a place is on the picture.
func (b *bitmap) has(p vector.XY) bool {
	return p.X >= 0 && p.Y >= 0 && p.X < float64(b.width) && p.Y < float64(b.height)
}

// grown has ink wherever there is some within so many squares along x and y.
func (b *bitmap) grown(by int) *bitmap {
	rows, out := newBitmap(b.width, b.height), newBitmap(b.width, b.height)
	for y := range b.height {
		spread(b.ink[y*b.width:], rows.ink[y*b.width:], b.width, 1, by)
	}
	for x := range b.width {
		spread(rows.ink[x:], out.ink[x:], b.height, b.width, by)
	}
	return out
}

// spread sets what is near ink along a row or a column of n squares.
func spread(from, to []bool, n, stride, by int) {
	last := -by - 1
	for i := range n + by {
		if i < n && from[i*stride] {
			last = i
		}
		if at := i - by; at >= 0 && last >= at-by {
			to[at*stride] = true
		}
	}
}

// blob is connected ink.
type blob struct {
	centre vector.XY
	area   float64   // squares
	long   float64   // standard deviation along its main axis, squares
	slim   float64   // across it
	box    [4]int    // left, top, right, bottom
	along  vector.XY // its main axis
}

// blobs are the connected parts of a bitmap, the largest first. If border is set,
// those that touch the border and reach over a quarter of it are taken out of the bitmap:
// they are what lies beside the sheet.
func (b *bitmap) blobs(border bool) []blob {
	var out []blob
	seen := make([]bool, len(b.ink))
	var stack, squares []int32
	for start, ink := range b.ink {
		if !ink || seen[start] {
			continue
		}
		stack, squares = append(stack[:0], int32(start)), squares[:0]
		seen[start] = true
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			squares = append(squares, at)
			x, y := int(at)%b.width, int(at)/b.width
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					if next := (y+dy)*b.width + x + dx; b.at(x+dx, y+dy) && !seen[next] {
						seen[next] = true
						stack = append(stack, int32(next))
					}
				}
			}
		}
		if k := b.blobOf(squares); !border || !b.frame(k.box) {
			out = append(out, k)
			continue
		}
		for _, at := range squares {
			b.ink[at] = false
		}
	}
	slices.SortStableFunc(out, func(p, q blob) int { return cmp.Compare(q.area, p.area) })
	return out
}

// frame reports whether a box touches the border and reaches along a quarter of it.
func (b *bitmap) frame(box [4]int) bool {
	across := box[2]-box[0] > b.width/4 && (box[1] == 0 || box[3] == b.height-1)
	up := box[3]-box[1] > b.height/4 && (box[0] == 0 || box[2] == b.width-1)
	return across || up
}

// blobOf is the blob of some squares.
func (b *bitmap) blobOf(squares []int32) blob {
	k := blob{area: float64(len(squares)), box: [4]int{b.width, b.height, 0, 0}}
	var sx, sy, sxx, syy, sxy float64
	for _, at := range squares {
		x, y := int(at)%b.width, int(at)/b.width
		k.box = [4]int{min(k.box[0], x), min(k.box[1], y), max(k.box[2], x), max(k.box[3], y)}
		fx, fy := float64(x)+0.5, float64(y)+0.5
		sx, sy, sxx, syy, sxy = sx+fx, sy+fy, sxx+float64(fx*fx), syy+float64(fy*fy), sxy+float64(fx*fy)
	}
	n := k.area
	k.centre = vector.XY{X: sx / n, Y: sy / n}
	xx, yy, xy := sxx/n-float64(k.centre.X*k.centre.X)+1.0/12, syy/n-float64(k.centre.Y*k.centre.Y)+1.0/12, sxy/n-float64(k.centre.X*k.centre.Y)
	half, root := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	k.long, k.slim = math.Sqrt(half+root), math.Sqrt(max(half-root, 0))
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	k.along = vector.XY{X: cos, Y: sin}
	return k
}
