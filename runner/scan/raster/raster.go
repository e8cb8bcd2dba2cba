// Package raster decodes scans (PNG, JPEG, TIFF) into samples of light, within
// counted bounds: a file that would need more is refused by its header, before
// anything is decoded.
package raster

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"

	"golang.org/x/image/tiff"
)

// Bounds of what is decoded.
const (
	// MaxFile is the greatest size of a file in bytes.
	MaxFile = 512 << 20
	// MaxPixels is the greatest number of pixels: 300 x 420 mm at 600 dpi.
	MaxPixels = 72_000_000
	// MaxSide is the greatest number of pixels along one side.
	MaxSide = 40_000
	// MinSide is the least number of pixels along a side.
	MinSide = 64
)

// Image is a scan as decoded: three samples a pixel, row by row from the top.
type Image struct {
	Width, Height int
	// Pix are the samples of red, green and blue as the file encodes them.
	Pix []uint8
	// DPIX, DPIY are the pixels an inch that the file states (pHYs of PNG, JFIF,
	// or the tags of TIFF); 0 where it states none.
	DPIX, DPIY float64
}

// Light is the linear light of a sample, from 0 to 1, by the transfer curve of
// IEC 61966-2-1 (sRGB), which is assumed for all scans: profiles in the files are not
// read.
var Light = func() (out [256]float32) {
	for i := range out {
		v := float64(i) / 255
		if v <= 0.04045 {
			out[i] = float32(v / 12.92)
		} else {
			out[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return out
}()

// Formats that are read.
const Formats = "PNG, JPEG or TIFF"

// ErrFormat is wrapped by the error for a file that is none of the formats,
// ErrBounds by the one for a file that is beyond the bounds, and ErrSmall by the one
// for a picture with too few pixels.
var (
	ErrFormat = errors.New("the format is not known")
	ErrBounds = errors.New("beyond the bounds")
	ErrSmall  = fmt.Errorf("the least is %d along a side", MinSide)
)

// Decode reads a scan.
func Decode(data []byte) (*Image, error) {
	if len(data) > MaxFile {
		return nil, fmt.Errorf("the file has %d MB; the most that is read is %d MB: %w", len(data)>>20, MaxFile>>20, ErrBounds)
	}
	f := formatOf(data)
	if f == nil {
		return nil, fmt.Errorf("this is not a picture in %s: %w", Formats, ErrFormat)
	}
	config, err := f.config(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("the head of the %s file is broken: %w", f.name, err)
	}
	w, h := config.Width, config.Height
	switch {
	case w <= 0 || h <= 0 || w > MaxSide || h > MaxSide || w > MaxPixels/h:
		return nil, fmt.Errorf("the picture has %d x %d pixels; the most that is read is %d million, and %d along a side: %w", w, h, MaxPixels/1_000_000, MaxSide, ErrBounds)
	case w < MinSide || h < MinSide:
		return nil, fmt.Errorf("the picture has %d x %d pixels, too few to be a scan of a sheet: %w", w, h, ErrSmall)
	}
	decoded, err := f.decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("the %s file is broken or cut short: %w", f.name, err)
	}
	if b := decoded.Bounds(); b.Dx() != w || b.Dy() != h {
		return nil, fmt.Errorf("the %s file states %d x %d pixels and holds %d x %d", f.name, w, h, b.Dx(), b.Dy())
	}
	out := samples(decoded)
	out.DPIX, out.DPIY = f.resolution(data)
	return out, nil
}

// format is one of the formats.
type format struct {
	name       string
	starts     []string
	config     func(*bytes.Reader) (image.Config, error)
	decode     func(*bytes.Reader) (image.Image, error)
	resolution func([]byte) (x, y float64)
}

var formats = [...]format{
	{"PNG", []string{"\x89PNG\r\n\x1a\n"},
		func(r *bytes.Reader) (image.Config, error) { return png.DecodeConfig(r) },
		func(r *bytes.Reader) (image.Image, error) { return png.Decode(r) }, pngResolution},
	{"JPEG", []string{"\xff\xd8\xff"},
		func(r *bytes.Reader) (image.Config, error) { return jpeg.DecodeConfig(r) },
		func(r *bytes.Reader) (image.Image, error) { return jpeg.Decode(r) }, jpegResolution},
	{"TIFF", []string{"II*\x00", "MM\x00*"},
		func(r *bytes.Reader) (image.Config, error) { return tiff.DecodeConfig(r) },
		func(r *bytes.Reader) (image.Image, error) { return tiff.Decode(r) }, tiffResolution},
}

func formatOf(data []byte) *format {
	for i := range formats {
		for _, s := range formats[i].starts {
			if bytes.HasPrefix(data, []byte(s)) {
				return &formats[i]
			}
		}
	}
	return nil
}
