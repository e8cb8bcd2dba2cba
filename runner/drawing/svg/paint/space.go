package paint

import (
	"math"

	"mahlstick/recipe/arith"
)

// The conversions to sRGB, with parts from 0 to 1.
//
// Source: CSS Color Module Level 4, sections 7, 8, 9 and 10, and section 18,
// "Sample code for Color Conversions"; from memory.

// fromHSL converts a hue (turns), a saturation and a lightness.
func fromHSL(hue, saturation, lightness float64) (out [3]float64) {
	reach := float64(saturation * min(lightness, 1-lightness))
	for i, n := range [3]float64{0, 8, 4} {
		k := n + float64(12*(hue-math.Floor(hue)))
		if k >= 12 {
			k -= 12
		}
		out[i] = lightness - float64(reach*max(-1, min(k-3, 9-k, 1)))
	}
	return out
}

// fromHWB converts a hue (turns), a whiteness and a blackness.
func fromHWB(hue, white, black float64) [3]float64 {
	if sum := white + black; sum >= 1 {
		grey := white / sum
		return [3]float64{grey, grey, grey}
	}
	out := fromHSL(hue, 1, 0.5)
	for i, v := range out {
		out[i] = float64(v*(1-white-black)) + white
	}
	return out
}

// polar is the point of a chroma at a hue (turns).
func polar(chroma, hue float64) (a, b float64) {
	sin, cos := arith.SinCosDegrees(float64(360 * (hue - math.Floor(hue))))
	return float64(chroma * cos), float64(chroma * sin)
}

type matrix [3][3]float64

func (m *matrix) times(v [3]float64) (out [3]float64) {
	for i, row := range m {
		out[i] = float64(row[0]*v[0]) + float64(row[1]*v[1]) + float64(row[2]*v[2])
	}
	return out
}

var (
	// toLinear goes from XYZ (D65) to linear sRGB, toD65 from D50 to D65 by
	// Bradford's method.
	toLinear = matrix{
		{3.2409699419045226, -1.5373831775700939, -0.4986107602930034},
		{-0.9692436362808796, 1.8759675015077202, 0.0415550574071756},
		{0.0556300796969936, -0.2039769588889765, 1.0569715142428784},
	}
	toD65 = matrix{
		{0.9554734527042182, -0.0230985368742614, 0.0632593086610217},
		{-0.0283697069632081, 1.0099954580058226, 0.0210413989669430},
		{0.0123140016883199, -0.0205076964334779, 1.3303659366080753},
	}
	// Of wider colour spaces, linear, to XYZ (D65).
	p3ToXYZ = matrix{
		{0.4865709486482162, 0.2656676931690931, 0.1982172852343625},
		{0.2289745640697488, 0.6917385218365064, 0.0792869140937450},
		{0, 0.0451133818589026, 1.0439443689009760},
	}
	fromOklabToLMS = matrix{
		{1, 0.3963377773761749, 0.2158037573099136},
		{1, -0.1055613458156586, -0.0638541728258133},
		{1, -0.0894841775298119, -1.2914855480194092},
	}
	fromLMSToLinear = matrix{
		{4.0767416360759583, -3.3077115392580629, 0.2309699031821043},
		{-1.2684379732850315, 2.6097573492876882, -0.3413193760026570},
		{-0.0041960761386756, -0.7034186179359362, 1.7076146940746117},
	}
	whiteD50 = [3]float64{0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585}
)

// companded applies the curve of sRGB to linear parts.
func companded(v [3]float64) [3]float64 {
	for i, x := range v {
		if x <= 0.0031308 {
			v[i] = float64(12.92 * x)
		} else {
			v[i] = float64(1.055*arith.Pow(x, 1/2.4)) - 0.055
		}
	}
	return v
}

// linear takes the curve of sRGB off.
func linear(v [3]float64) [3]float64 {
	for i, x := range v {
		if x <= 0.04045 {
			v[i] = x / 12.92
		} else {
			v[i] = arith.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return v
}

// fromLab converts a lightness from 0 to 100 and two axes.
func fromLab(lightness, a, b float64) [3]float64 {
	const kappa, epsilon = 24389.0 / 27, 216.0 / 24389
	y := (lightness + 16) / 116
	f := [3]float64{y + a/500, y, y - b/200}
	var xyz [3]float64
	for i, t := range f {
		cube := float64(t * t * t)
		if i == 1 && lightness <= kappa*epsilon || i != 1 && cube <= epsilon {
			cube = (float64(116*t) - 16) / kappa
		}
		xyz[i] = float64(cube * whiteD50[i])
	}
	return companded(toLinear.times(toD65.times(xyz)))
}

// fromOklab converts a lightness from 0 to 1 and two axes.
func fromOklab(lightness, a, b float64) [3]float64 {
	lms := fromOklabToLMS.times([3]float64{lightness, a, b})
	for i, t := range lms {
		lms[i] = float64(t * t * t)
	}
	return companded(fromLMSToLinear.times(lms))
}

// fromSpace converts the parts of the function color. Spaces of photographs,
// which drawings hardly use, are read as sRGB.
func fromSpace(space string, v [3]float64) [3]float64 {
	switch space {
	case "srgb-linear":
		return companded(v)
	case "xyz", "xyz-d65":
		return companded(toLinear.times(v))
	case "xyz-d50":
		return companded(toLinear.times(toD65.times(v)))
	case "display-p3":
		return companded(toLinear.times(p3ToXYZ.times(linear(v))))
	}
	return v
}
