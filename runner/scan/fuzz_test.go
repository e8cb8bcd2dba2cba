package scan_test

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"mahlstick/recipe/model"
	"mahlstick/runner/scan"
	"mahlstick/runner/scan/align"
	"mahlstick/runner/scan/raster"
	"mahlstick/runner/trial"
	"mahlstick/runner/vector"
)

// anyJob takes a job from bytes: strokes of up to six points, of which some are to be
// measured.
func anyJob(data []byte) *scan.Job {
	job := &scan.Job{Width: 40, Height: 30, Sheets: 1}
	for len(data) >= 6 && len(job.Strokes) < 12 {
		points := 1 + int(data[0])%6
		s := scan.Stroke{Layer: "reeds", Number: len(job.Strokes) + 1, Sheet: 1, Ink: [3]uint8{data[1], 40, 80}}
		s.Program = int(data[2]) % 3
		data = data[3:]
		for ; points > 0 && len(data) >= 3; points, data = points-1, data[3:] {
			s.Points = append(s.Points, align.Point{XY: vector.XY{X: float64(data[0]) / 5, Y: float64(data[1]) / 7}, Width: float64(data[2]) / 60})
		}
		if len(s.Points) > 0 && s.Ink[0]%2 == 0 {
			n := len(job.Readings) + 1
			s.Reading, s.Readings = n, 1
			at := s.Points[0]
			job.Readings = append(job.Readings, trial.Reading{Number: n, Kind: model.Ladder + model.TrialKind(s.Ink[0]/2%10), X: at.X, Y: at.Y, Across: float64(s.Ink[0]), Press: 1, Expected: at.Width})
		}
		job.Strokes = append(job.Strokes, s)
	}
	return job
}

// painted is a picture of a job, drawn roughly, with some bytes of its own.
func painted(job *scan.Job, perMM float64, spots []byte) *raster.Image {
	m := &raster.Image{Width: int(44 * perMM), Height: int(34 * perMM)}
	m.Pix = make([]uint8, 3*m.Width*m.Height)
	for i := range m.Pix {
		m.Pix[i] = 235
	}
	for _, s := range job.Strokes {
		s.Walk(0.5/perMM, func(at align.Point, _ vector.XY) {
			x, y, r := (at.X+2)*perMM, (32-at.Y)*perMM, max(1, at.Width/2*perMM)
			for j := max(0, int(y-r)); j < min(m.Height, int(y+r)); j++ {
				for i := max(0, int(x-r)); i < min(m.Width, int(x+r)); i++ {
					copy(m.Pix[3*(j*m.Width+i):], s.Ink[:])
				}
			}
		})
	}
	for i := 0; i+2 < len(spots); i += 3 {
		at := int(binary.LittleEndian.Uint16(spots[i:])) * len(m.Pix) / 65536
		for k := at; k < min(at+60, len(m.Pix)); k++ {
			m.Pix[k] = spots[i+2]
		}
	}
	return m
}

// Any job and any picture are laid on each other or refused by a reason; what is measured
// then has a length and a doubt.
func FuzzLay(f *testing.F) {
	strokes := []byte{1, 10, 0, 20, 20, 90, 180, 25, 90, 5, 40, 0, 30, 150, 60, 60, 120, 80, 100, 160, 70, 150, 100, 40, 170, 60, 90, 190, 190, 60, 0, 80, 1, 100, 60, 120, 1, 30, 0, 20, 190, 80, 60, 200, 60}
	f.Add(strokes, []byte{}, uint8(20))
	f.Add(strokes, []byte("spots of all kinds on the sheet"), uint8(60))
	f.Add([]byte{0, 0, 0, 0, 0, 0}, []byte{}, uint8(1))
	f.Add([]byte{5, 2, 1, 0, 0, 255, 0, 0, 255, 255, 255, 255, 0, 0, 0}, []byte{0, 0, 0}, uint8(255))
	f.Fuzz(func(t *testing.T, strokes, spots []byte, fine uint8) {
		job := anyJob(strokes)
		s, err := scan.Lay(painted(job, 2+float64(fine)/40, spots), job, nil)
		if err != nil {
			var refused *scan.Refusal
			if !errors.As(err, &refused) || refused.Text == "" || refused.Fix == "" {
				t.Fatalf("refused without a reason: %v", err)
			}
			return
		}
		for _, m := range s.Measure(nil) {
			if m.OK && (!(m.MM >= -100) || !(m.U >= 0) || math.IsInf(m.MM, 0) || math.IsInf(m.U, 0)) || !m.OK && m.Why == "" {
				t.Fatalf("%+v", m)
			}
		}
	})
}
