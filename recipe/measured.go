package recipe

import (
	"fmt"
	"strings"

	"mahlstick/recipe/arith"
	"mahlstick/recipe/binding"
	"mahlstick/recipe/calibrate"
	"mahlstick/recipe/format"
	"mahlstick/recipe/measure"
	"mahlstick/recipe/model"
	"mahlstick/recipe/schema"
)

// measured is what readings say of a brush, as plain values; nil for none.
func measured(r *calibrate.Result) *model.Measured {
	if r == nil {
		return nil
	}
	m := &model.Measured{Sheets: r.Sheets, Day: r.Day, TouchMark: r.Ladder.TouchMark, HalfAngle: r.Ladder.HalfAngle, Scatter: r.Ladder.Scatter,
		Safe: r.Safe, Grew: r.Grew, Lags: r.Lags, Play: r.Play, Spread: r.Spread, Feed: r.Feed, Dot: r.Dot, Load: r.Load, RunIn: r.RunIn,
		Touch: r.Touch, TipX: r.TipX, TipY: r.TipY, People: r.Ladder.People, Names: r.People}
	for touch := range len(r.Ladder.Touches) {
		m.Touches = append(m.Touches, r.Ladder.Touches[touch])
	}
	return m
}

// measured lists what the readings of a brush's sheets say, each with its doubt and
// the number of its readings.
func (l *factList) measured(d *binding.Definition, b *model.Brush) {
	m := b.Measured
	if m == nil {
		return
	}
	from := strings.Join(m.Sheets, ", ")
	if m.Day != "" {
		from += ", " + m.Day
	}
	if from == "" {
		from = b.File
	}
	_, swatch := d.SwatchMarks()
	add := func(word string, e measure.Estimate, decimals int, unit string) {
		if !e.Known() {
			return
		}
		value, band := format.Page.Number(e.Value, decimals), ""
		if low, high := m.Spread.Band(); e == m.Spread.Rate {
			band = fmt.Sprintf("95 %% band %s to %s, ", format.Page.Fixed(low, decimals), format.Page.Fixed(high, decimals))
		} else if e.U > 0 && (e.Freedom == 0 || e.Freedom >= 2) { // two readings scatter too much to say
			value, band = format.Page.Fixed(e.Value, decimals)+" ± "+format.Page.Fixed(e.Expanded(), decimals), "95 % band, "
		}
		l.facts = append(l.facts, model.Fact{Section: model.Section{Word: schema.Swatch, Name: swatch.Title}, Word: word, Place: l.values.Calibration(d).Place(),
			Value: fmt.Sprintf("%s (%s%s, %s)", withUnit(value, unit), band, format.Count(e.Readings, "reading"), from)})
	}
	for i, t := range m.Touches {
		word := "touch below the touch-off"
		if len(m.Touches) > 1 {
			word += fmt.Sprintf(", sheet %d", i+1)
		}
		add(word, t, 3, "mm")
	}
	add("mark at the touch", m.TouchMark, 3, "mm")
	add("half-angle of the cone that fits best", degrees(m.HalfAngle), 2, "°")
	add("scatter of one mark", measure.Estimate{Value: m.Scatter.U, Readings: m.Scatter.Readings}, 3, "mm")
	if m.People.Known() {
		add("spread between people, a standard deviation", m.People.Between, 3, "mm")
		add("scatter of one person's readings", m.People.Within, 3, "mm")
		for i, off := range m.People.Off {
			add(m.Names[i]+", more than the mean of all", off, 3, "mm")
		}
	}
	safe := "safe press suggested: a light mark was as narrow as ever after it"
	if !m.Grew {
		safe = "deepest press after which a light mark was as narrow as ever; deeper ones were not tried"
	}
	add(safe, m.Safe, 2, "mm")
	for _, lag := range m.Lags {
		add("lag at a press of "+format.Page.Unit(format.Page.Number(lag.Press, 2), "mm"), lag.Lag, 2, "mm")
	}
	add("play: a press reached from above acts as so much deeper", m.Play, 3, "mm")
	add("spreading (D): a mark is wider by 2·√(D·width/feed)", m.Spread.Rate, 5, "mm²/s")
	if m.Spread.Fastest > 0 {
		fastest := measure.Estimate{Value: m.Spread.Fastest, Readings: m.Spread.Dry.Readings}
		word := "fastest feed without gaps; faster ones were not tried"
		if m.Spread.Limited {
			word = "fastest feed without gaps"
		}
		add(word, fastest, 0, "mm/min")
	}
	add("growth of a dot (D): its diameter is √(d0² + 4·D·time)", m.Dot.Rate, 4, "mm²/s")
	add("a load paints a path of", m.Load.Length, 0, "mm")
	add("a load paints an area of", m.Load.Area, 0, "mm²")
	add("path until a fresh load paints evenly", m.RunIn, 1, "mm")
	add("standard deviation of touching off", m.Touch, 3, "mm")
	add("tip to the right of the axis", m.TipX, 3, "mm")
	add("tip above the axis", m.TipY, 3, "mm")
}

// withUnit puts a unit behind a number; the sign for degrees without a space.
func withUnit(value, unit string) string {
	if unit == "°" {
		return value + unit
	}
	return format.Page.Unit(value, unit)
}

func degrees(e measure.Estimate) measure.Estimate {
	e.Value, e.U = e.Value*180/arith.Pi, e.U*180/arith.Pi
	return e
}
