package presenting

import (
	"math"

	"mahlstick/recipe/format"
	"mahlstick/recipe/model"
)

// Seated says in a sentence how the sheet lies; "" if it is at its stops.
func Seated(s *model.Seating) string {
	if s == nil {
		return ""
	}
	f := s.Fit
	text := "The sheet lies as its marks were read before layer " + s.Layer + ": turned " + format.Plain.Fixed(math.Abs(f.Turn)*180/math.Pi, 3) + " deg " + turnWord(f.Turn)
	if f.GrowthX != 1 || f.GrowthY != 1 {
		text += ", " + percent(f.GrowthX-1) + " longer along X and " + percent(f.GrowthY-1) + " along Y"
	}
	return text + ". Do not set X and Y anew."
}

// percent is a share in percent, with its sign.
func percent(share float64) string { return format.Plain.Fixed(100*share, 2) + " %" }
