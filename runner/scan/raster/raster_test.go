package raster_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"

	"golang.org/x/image/tiff"

	"mahlstick/runner/scan/raster"
)

// picture is grey that rises to the right, with one red pixel.
func picture() *image.NRGBA {
	m := image.NewNRGBA(image.Rect(3, 5, 3+80, 5+70))
	for y := 5; y < 75; y++ {
		for x := 3; x < 83; x++ {
			m.Set(x, y, color.NRGBA{uint8(2 * x), uint8(2 * x), uint8(2 * x), 255})
		}
	}
	m.Set(13, 25, color.NRGBA{255, 0, 0, 255})
	return m
}

func encoded(t testing.TB, m image.Image) map[string][]byte {
	t.Helper()
	var p, j, f bytes.Buffer
	for _, err := range []error{png.Encode(&p, m), jpeg.Encode(&j, m, &jpeg.Options{Quality: 95}), tiff.Encode(&f, m, &tiff.Options{Compression: tiff.Deflate, Predictor: true})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return map[string][]byte{"PNG": p.Bytes(), "JPEG": j.Bytes(), "TIFF": f.Bytes()}
}

// The same picture is read from each format and each kind of pixels.
func TestDecode(t *testing.T) {
	from := picture()
	rgba, rgba64, nrgba64 := image.NewRGBA(from.Rect), image.NewRGBA64(from.Rect), image.NewNRGBA64(from.Rect)
	for y := from.Rect.Min.Y; y < from.Rect.Max.Y; y++ {
		for x := from.Rect.Min.X; x < from.Rect.Max.X; x++ {
			rgba.Set(x, y, from.At(x, y))
			rgba64.Set(x, y, from.At(x, y))
			nrgba64.Set(x, y, from.At(x, y))
		}
	}
	for kind, m := range map[string]image.Image{"NRGBA": from, "RGBA": rgba, "RGBA64": rgba64, "NRGBA64": nrgba64} {
		for name, data := range encoded(t, m) {
			got, err := raster.Decode(data)
			if err != nil || got.Width != 80 || got.Height != 70 || got.DPIX != 0 && name == "PNG" {
				t.Fatalf("%s as %s: %v", kind, name, err)
			}
			for _, at := range [][2]int{{0, 0}, {60, 3}, {79, 69}} {
				want, v := 2*(at[0]+3), int(got.Pix[3*(at[1]*80+at[0])+1])
				if v < want-3 || v > want+3 {
					t.Errorf("%s as %s: %d at %v, want %d", kind, name, v, at, want)
				}
			}
			if red := got.Pix[3*(20*80+10):]; name != "JPEG" && (red[0] != 255 || red[1] != 0 || red[2] != 0) {
				t.Errorf("%s as %s: red is %v", kind, name, red[:3])
			}
		}
	}
}

// The values of the transfer curve are those of its formula; 0.5 is from memory at
// sample 188.
func TestLight(t *testing.T) {
	if raster.Light[0] != 0 || raster.Light[255] != 1 || math.Abs(float64(raster.Light[188])-0.5) > 0.005 {
		t.Error(raster.Light[188])
	}
	for i := 1; i < 256; i++ {
		if raster.Light[i] <= raster.Light[i-1] {
			t.Errorf("the light falls at %d", i)
		}
	}
}

// Between the middles of pixels the light is that of both.
func TestAt(t *testing.T) {
	got, err := raster.Decode(encoded(t, picture())["PNG"])
	if err != nil {
		t.Fatal(err)
	}
	a, _ := got.At(40.5, 30.5)
	b, _ := got.At(41.5, 30.5)
	m, ok := got.At(40.75, 30.9)
	if want := a[1] + 0.25*(b[1]-a[1]); !ok || math.Abs(float64(m[1]-want)) > 1e-6 || a[1] != raster.Light[86] {
		t.Errorf("%v between %v and %v", m, a, b)
	}
	for _, p := range [][2]float64{{0.4, 30}, {30, 69.6}, {math.NaN(), 3}, {1e300, 3}} {
		if _, ok := got.At(p[0], p[1]); ok {
			t.Errorf("%v is on the scan", p)
		}
	}
}

// withPHYs puts the resolution into a PNG, in pixels a metre.
func withPHYs(data []byte, x, y uint32) []byte {
	chunk := append(binary.BigEndian.AppendUint32(nil, 9), "pHYs"...)
	chunk = append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(chunk, x), y), 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	const head = 8 + 25 // signature and IHDR
	return append(append(bytes.Clone(data[:head]), chunk...), data[head:]...)
}

// withJFIF puts the resolution into a JPEG.
func withJFIF(data []byte, unit byte, x, y uint16) []byte {
	segment := append([]byte{0xff, 0xe0, 0, 16}, "JFIF\x00\x01\x02"...)
	segment = append(segment, unit)
	segment = binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(segment, x), y)
	segment = append(segment, 0, 0)
	return append(append(bytes.Clone(data[:2]), segment...), data[2:]...)
}

func TestResolution(t *testing.T) {
	files := encoded(t, picture())
	for name, c := range map[string]struct {
		data []byte
		x, y float64
	}{
		"PNG":                  {withPHYs(files["PNG"], 23622, 11811), 600, 300},
		"PNG of no resolution": {withPHYs(files["PNG"], 0, 11811), 0, 0},
		"JPEG":                 {withJFIF(files["JPEG"], 1, 300, 600), 300, 600},
		"JPEG by cm":           {withJFIF(files["JPEG"], 2, 118, 118), 299.72, 299.72},
		"JPEG of no unit":      {withJFIF(files["JPEG"], 0, 1, 1), 0, 0},
		"TIFF":                 {files["TIFF"], 72, 72}, // as the encoder writes it
	} {
		m, err := raster.Decode(c.data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if math.Abs(m.DPIX-c.x) > 0.01 || math.Abs(m.DPIY-c.y) > 0.01 {
			t.Errorf("%s: %g x %g, want %g x %g", name, m.DPIX, m.DPIY, c.x, c.y)
		}
	}
}

// Files whose heads promise too much are refused before they are decoded.
func TestBounds(t *testing.T) {
	bomb := bytes.Clone(encoded(t, picture())["PNG"])
	binary.BigEndian.PutUint32(bomb[16:], 39_999)
	binary.BigEndian.PutUint32(bomb[20:], 39_999)
	binary.BigEndian.PutUint32(bomb[29:], crc32.ChecksumIEEE(bomb[12:29]))
	var small bytes.Buffer
	if err := png.Encode(&small, image.NewGray(image.Rect(0, 0, 63, 200))); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		data []byte
		want error
	}{
		"a bomb":    {bomb, raster.ErrBounds},
		"too small": {small.Bytes(), raster.ErrSmall},
		"text":      {[]byte("number,trial\n"), raster.ErrFormat},
		"nothing":   {nil, raster.ErrFormat},
	} {
		if _, err := raster.Decode(c.data); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, data := range encoded(t, picture()) {
		if _, err := raster.Decode(data[:len(data)/2]); err == nil {
			t.Errorf("half of a %s is read", name)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, data := range encoded(f, picture()) {
		f.Add(data)
		f.Add(data[:len(data)/2])
	}
	f.Add(withPHYs(encoded(f, picture())["PNG"], 23622, 11811))
	f.Add(withJFIF(encoded(f, picture())["JPEG"], 2, 118, 118))
	f.Add([]byte("II*\x00\x08\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if c, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && c.Width*c.Height > 1<<22 {
			t.Skip("large")
		}
		m, err := raster.Decode(data)
		if err != nil {
			return
		}
		if len(m.Pix) != 3*m.Width*m.Height || m.Width < raster.MinSide || m.DPIX < 0 || math.IsNaN(m.DPIX+m.DPIY) {
			t.Errorf("%d x %d, %d bytes, %g x %g dpi", m.Width, m.Height, len(m.Pix), m.DPIX, m.DPIY)
		}
	})
}
