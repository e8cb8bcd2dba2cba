package proof

import "fmt"

// blockRate requires that each move on the paper takes as long as the machine
// needs to read a block. Above it nothing blots.
func blockRate(p *Path, lim *Limits) *verdict {
	if lim.Blocks == 0 {
		return nil
	}
	c := &verdict{name: BlockRate, allowed: fmt.Sprint(lim.Blocks), kept: "no feed move",
		why: "a controller that reads too slowly waits between moves, and the brush blots"}
	fastest := 0.0
	p.fed(func(m *Move) {
		length := m.Length()
		if length == 0 || m.From.Z > 0 && m.To.Z > 0 {
			return
		}
		rate := m.Feed / 60 / length
		fastest = max(fastest, rate)
		c.kept = "at most " + fixed(fastest, 1)
		if rate > float64(lim.Blocks)+coordTolerance && m.Feed > lim.LowestFeed {
			c.breaks(m.Line, "%s blocks a second", fixed(rate, 1))
		}
	})
	return c
}
