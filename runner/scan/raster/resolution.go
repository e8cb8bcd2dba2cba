package raster

import (
	"encoding/binary"
	"math"
)

const inch = 25.4 // mm

// plausible is a resolution in pixels an inch, or 0 for one that no scanner has.
func plausible(x, y float64) (float64, float64) {
	ok := func(v float64) bool { return v >= 20 && v <= 20_000 } // false for NaN
	if !ok(x) || !ok(y) {
		return 0, 0
	}
	return x, y
}

// pngResolution is that of the chunk pHYs (ISO/IEC 15948, 11.3.5.3).
func pngResolution(data []byte) (float64, float64) {
	for at := 8; at+12 <= len(data); {
		size := int64(binary.BigEndian.Uint32(data[at:]))
		kind := string(data[at+4 : at+8])
		if kind == "IDAT" || size > int64(len(data)-at-12) {
			return 0, 0
		}
		body := data[at+8 : at+8+int(size)]
		if kind == "pHYs" && len(body) == 9 && body[8] == 1 {
			metre := 1000 / inch
			return plausible(float64(binary.BigEndian.Uint32(body))/metre, float64(binary.BigEndian.Uint32(body[4:]))/metre)
		}
		at += 12 + int(size)
	}
	return 0, 0
}

// jpegResolution is that of the segment APP0 (ISO/IEC 10918-5, JFIF).
func jpegResolution(data []byte) (float64, float64) {
	for at := 2; at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda; {
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		if size < 2 || at+2+size > len(data) {
			return 0, 0
		}
		body := data[at+4 : at+2+size]
		if data[at+1] == 0xe0 && len(body) >= 12 && string(body[:5]) == "JFIF\x00" {
			x, y := float64(binary.BigEndian.Uint16(body[8:])), float64(binary.BigEndian.Uint16(body[10:]))
			switch body[7] {
			case 1:
				return plausible(x, y)
			case 2:
				return plausible(x*inch/10, y*inch/10)
			}
			return 0, 0
		}
		at += 2 + size
	}
	return 0, 0
}

// tiffResolution is that of the tags 282, 283 and 296 (TIFF 6.0, section 8) of the
// first picture.
func tiffResolution(data []byte) (float64, float64) {
	var order binary.ByteOrder = binary.LittleEndian
	if data[0] == 'M' {
		order = binary.BigEndian
	}
	at := int64(-1)
	if len(data) >= 8 {
		at = int64(order.Uint32(data[4:]))
	}
	if at < 8 || at+2 > int64(len(data)) {
		return 0, 0
	}
	n := int64(order.Uint16(data[at:]))
	var x, y float64
	unit := uint16(2)
	for i := range n {
		e := at + 2 + 12*i
		if e+12 > int64(len(data)) {
			return 0, 0
		}
		entry := data[e : e+12]
		switch tag := order.Uint16(entry); tag {
		case 282, 283:
			v := rational(data, int64(order.Uint32(entry[8:])), order)
			if tag == 282 {
				x = v
			} else {
				y = v
			}
		case 296:
			unit = order.Uint16(entry[8:])
		}
	}
	switch unit {
	case 2:
		return plausible(x, y)
	case 3:
		return plausible(x*inch/10, y*inch/10)
	}
	return 0, 0
}

func rational(data []byte, at int64, order binary.ByteOrder) float64 {
	if at < 0 || at+8 > int64(len(data)) {
		return math.NaN()
	}
	return float64(order.Uint32(data[at:])) / float64(order.Uint32(data[at+4:]))
}
