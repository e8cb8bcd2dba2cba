package trial

import (
	"math"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/brush"
	"mahlstick/recipe/measure"
)

const (
	longest  = 150.0 // mm, length of a ramp, and of the lanes of a run-out
	feedMark = 100.0 // mm, length of a mark that is painted fast
	// stations is at how many places of each half of a ramp its width is read.
	stations  = measure.RampStations / 2
	mostFeeds = 6
	legLength = 15.0 // mm, of a corner
	blots     = 6    // marks for the blotting paper
	blotMark  = 15.0 // mm
)

// layRamp is press up to the greatest and down again along one stroke, and the same
// the other way: what differs between the two halves is how the brush keeps its
// shape, what differs between the two ways is the lag.
func layRamp(b *bench) []item {
	length := min(longest, b.area.right-b.area.left-b.width(b.press))
	there := b.slope(0, length)
	back := b.slope(length, 0)
	return []item{b.item(there), b.item(back)}
}

// slope is a stroke from one x to another, pressed most in the middle. Its
// width is read at some places on the way down, in the middle, and on the way up.
func (b *bench) slope(from, to float64) part {
	middle, most := (from+to)/2, b.press
	p := part{who: b.who, look: true, gesture: b.gesture(b.trial.Feed, b.at(from, 0, 0), b.at(middle, 0, most), b.at(to, 0, 0))}
	const n = stations + 1
	for i := 1; i < 2*n; i++ {
		press := most * float64(n-abs(i-n)) / n
		p.readings = append(p.readings, Reading{X: from + float64((to-from)*float64(i))/(2*n), Across: 90, Press: press, Feed: b.trial.Feed,
			Expected: b.expected(press)})
	}
	return p
}

func abs(i int) int { return max(i, -i) }

// layRings are circles at three presses. The mark trails on a circle of radius
// √(R² - lag²), the steady state of a drag curve. The brush goes round for a
// quarter more, so that the mark has settled.
func layRings(b *bench) []item {
	var out []item
	for third := 1; third <= 3; third++ {
		press := b.share(float64(third) / 3)
		for _, radius := range measure.RingRadii {
			p := part{who: b.who, look: true, gesture: b.gesture(b.trial.Feed, b.circle(0, 0, radius, press, 450)...)}
			p.readings = []Reading{{Press: press, Feed: b.trial.Feed, Expected: ringDiameter(radius, b.trial.Brush.Lag, press)}}
			out = append(out, b.item(p))
		}
	}
	return out
}

// ringDiameter is the diameter of the middle line of a ring.
func ringDiameter(radius float64, lag brush.Lag, press float64) float64 {
	at := lag.At(press)
	if !lag.Known() || at >= radius {
		return unknown
	}
	return 2 * math.Sqrt(float64(radius*radius)-float64(at*at))
}

// cornerTurns are the turns of the corners, in degrees.
var cornerTurns = [...]float64{30, 60, 90, 120, 150}

// layCorners are painted at one press; a mark that trails cuts them.
func layCorners(b *bench) []item {
	var out []item
	press := b.press
	for _, turn := range cornerTurns {
		sin, cos := arith.SinCosDegrees(turn)
		p := part{who: b.who, look: true, gesture: b.gesture(b.trial.Feed, b.at(0, 0, press), b.at(legLength, 0, press),
			b.at(legLength+float64(legLength*cos), legLength*sin, press))}
		// From the corner to the inside, half way between its legs.
		p.readings = []Reading{{X: legLength, Across: 90 + turn/2, Press: press, Feed: b.trial.Feed, Expected: cornerMiss(turn, b.trial.Brush.Lag, press)}}
		out = append(out, b.item(p))
	}
	return out
}

// cornerMiss is how far (mm) the middle of a mark passes from a corner, at the
// nearest.
func cornerMiss(turn float64, lag brush.Lag, press float64) float64 {
	if !lag.Known() {
		return unknown
	}
	return lag.At(press) * measure.MissedShare(turn)
}

// layFeeds are marks of one press, each twice as fast as the one before, as far as
// the machine reaches the feed in the middle of the mark.
func layFeeds(b *bench) []item {
	var out []item
	m := &b.job.Machine
	length := min(feedMark, b.area.right-b.area.left-b.width(b.press))
	feed := b.trial.Feed
	for range mostFeeds {
		// From rest to the feed v takes v²/2a.
		v := feed / 60
		if feed > m.FastestFeed || m.Acceleration > 0 && float64(v*v)/(2*m.Acceleration) > 0.45*length {
			break
		}
		p := b.line(0, 0, length, b.press, feed)
		p.look = true
		out = append(out, b.item(p))
		feed *= 2
	}
	return out
}

// laySetOff are short marks, on which blotting paper is pressed later and later.
// What is read is the width of the ink on the blotting paper: 0 when dry.
func laySetOff(b *bench) []item {
	var out []item
	for range blots {
		p := b.line(0, 0, blotMark, b.press, b.trial.Feed)
		p.look, p.readings[0].Expected = true, unknown
		out = append(out, b.item(p))
	}
	return out
}
