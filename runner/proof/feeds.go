package proof

import (
	"fmt"
	"math"
)

// feedGroup is one feed, or several neighbouring feeds of which each is little
// used.
type feedGroup struct {
	Low, High float64 // mm/min
	feeds     int
	Moves     int
	Length    float64 // mm along the path
}

// groupFeeds lists feeds, in rising order, so that they can be read at a
// glance: a feed that is used for a twentieth of the path or more by itself,
// those between two of these together.
func groupFeeds(feeds []FeedUse) []feedGroup {
	sum := 0.0
	for _, f := range feeds {
		sum += f.Length
	}
	const share = 0.05
	var groups []feedGroup
	open := false // the last group may take more feeds
	for _, f := range feeds {
		alone := f.Length >= float64(share*sum)
		if alone || !open {
			groups = append(groups, feedGroup{Low: f.Feed})
		}
		g := &groups[len(groups)-1]
		g.High, g.feeds, g.Moves, g.Length = f.Feed, g.feeds+1, g.Moves+f.Moves, g.Length+f.Length
		open = !alone
	}
	return groups
}

func (g feedGroup) String() string {
	text := feedText(g.Low)
	if g.feeds > 1 {
		text += " to " + feedText(g.High)
	}
	text += " mm/min for " + countText(g.Moves, "move") + ", " + lengthText(g.Length)
	if g.feeds > 1 {
		text += fmt.Sprintf(" (%d feeds)", g.feeds)
	}
	return text
}

// lengthText is a length given in mm as text with three digits, in m from 1 m on.
func lengthText(mm float64) string {
	v, unit := mm, " mm"
	if math.Abs(v) >= 999.5 {
		v, unit = v/1000, " m"
	}
	switch size := math.Abs(v); {
	case size >= 99.95:
		return fixed(v, 0) + unit
	case size >= 9.995:
		return fixed(v, 1) + unit
	case size < 0.0005:
		return "0" + unit
	case size < 0.005:
		return fixed(v, 3) + unit
	}
	return fixed(v, 2) + unit
}
