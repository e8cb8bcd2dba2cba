package record

import (
	"reflect"
	"strings"
	"testing"
)

// SHA-256 as in FIPS 180-4 (NIST, 2015). "abc", the message of two blocks and
// the million letters are the worked examples of FIPS 180-2, appendix B; the
// empty message is the first of NIST's short messages (SHA256ShortMsg.rsp).
func TestHashVectors(t *testing.T) {
	for text, want := range map[string]string{
		"":    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"abc": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq": "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
		strings.Repeat("a", 1_000_000):                             "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
	} {
		if got := Hash([]byte(text)); got != want {
			t.Errorf("the hash of %d bytes is %s, want %s", len(text), got, want)
		}
	}
}

func TestRecordRoundTrip(t *testing.T) {
	r := &Record{Engine: 3, Job: "pond", Title: "Reeds & <one> bird", Recipe: "pond/pond.md",
		Inputs:  []File{NewFile("pond/pond.md", []byte("x")), NewFile("pond/reeds.dxf", nil)},
		Values:  []Value{{Name: "taper", Formula: "asin(a / b)", Value: "14.3°"}, {Name: "sheet.margin", Value: "8 mm", Default: true}},
		Outputs: []File{NewFile("1-reeds.nc", []byte("G21"))},
		Checks:  []Check{{"1-reeds.nc", "stays on the sheet", true, "x 8 to 202", "0 to 210"}},
	}
	text := r.JSON()
	back, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(r, back) {
		t.Errorf("read back as %+v", back)
	}
	if n := strings.Count(string(text), "\n"); n < 14 {
		t.Errorf("%d lines: not one fact a line\n%s", n, text)
	}
	if strings.Contains(string(text), `\u003c`) {
		t.Error("letters are written as numbers")
	}
	if _, err := Parse([]byte(`{"engine": 1, "weather": "fine"}`)); err == nil {
		t.Error("an unknown field was taken")
	}
}

func FuzzRecord(f *testing.F) {
	f.Add([]byte(`{"engine": 1, "job": "pond"}`))
	f.Add((&Record{Engine: 1, Inputs: []File{{Name: "a"}}}).JSON())
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Parse(data)
		if err != nil {
			return
		}
		back, err := Parse(r.JSON())
		if err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		if string(back.JSON()) != string(r.JSON()) {
			t.Fatal("writing is not stable")
		}
	})
}
