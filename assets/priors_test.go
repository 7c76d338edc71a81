package assets

import (
	"strings"
	"testing"
)

func TestPriorsPutJointsBeforeWires(t *testing.T) {
	priors := DefaultPriors()
	for _, pair := range [][2]string{{"wire-end-loose", "wire-open"}, {"joint-open", "wire-open"}, {"contact-open", "wire-open"}, {"short", "short-elsewhere"}} {
		if priors.Of(pair[0]) <= priors.Of(pair[1]) {
			t.Errorf("%s is no likelier than %s", pair[0], pair[1])
		}
	}
	// one step of weight is a factor of two
	if got := priors.Of("wire-end-loose") / priors.Of("wire-open"); got != 4 {
		t.Errorf("weights 5 and 3 differ by a factor of %g, want 4", got)
	}
}

func TestReadPriorsSaysWhereAndHow(t *testing.T) {
	const header = "fault,weight,basis,note\n"
	for _, c := range []struct{ name, text, want string }{
		{"no header", "", "header row is missing"},
		{"another header", "a,b\n", "write fault,weight,basis,note"},
		{"no number", header + "short,often,x,\n", `line 2: weight "often"`},
		{"too far", header + "short,3,x,\nswap,99,x,\n", "line 3"},
		{"twice", header + "short,3,x,\nshort,3,x,\n", "line 3: short stands twice"},
		{"not a number", header + "short,NaN,x,\n", "line 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadPriors(strings.NewReader(c.text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want an error with %q", err, c.want)
			}
		})
	}
}
