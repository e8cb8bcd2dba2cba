package order_test

import (
	"reflect"
	"runtime"
	"testing"

	"mahlstick/runner/order"
	"mahlstick/runner/plane"
)

// Many strokes are put in order by parts: in the same order on one core and on two,
// each once, and with much less travel than by going on at the nearest end.
func TestParts(t *testing.T) {
	all := many(4500)
	o := order.Options{Start: plane.At(-20, 317), Return: true}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	sorted := order.Sort(all, o)
	runtime.GOMAXPROCS(2)
	if !reflect.DeepEqual(sorted, order.Sort(all, o)) {
		t.Error("one core and two come to different orders")
	}
	seen := make([]bool, len(all))
	for _, g := range sorted {
		if seen[g.Shape] {
			t.Fatalf("stroke %d comes twice", g.Shape)
		}
		seen[g.Shape] = true
	}
	got, simple := order.Travel(sorted, o), greedy(all, o)
	t.Logf("%d strokes: %.1f mm, nearest first %.1f mm", len(all), got, simple)
	if len(sorted) != len(all) || got > 0.75*simple {
		t.Errorf("%d strokes of %d, %.1f mm; nearest first %.1f mm", len(sorted), len(all), got, simple)
	}
}
