package explain

import (
	"math"
	"testing"
)

// goldenChain is the chain of the design study on wiring diagnosis: A-B wire,
// B-C joint, C-D wire, D-E crimp. Its numbers were computed there with another
// program.
type goldenChain struct {
	prior    []float64 // none, then open and high of each of the four elements
	outcomes Outcomes  // by class OK, OPEN, HIGH: LOW, MID, OL
}

func newGoldenChain() goldenChain {
	chain := goldenChain{outcomes: Outcomes{{.97, .02, .01}, {.005, .005, .99}, {.05, .93, .02}}}
	open, high := []float64{1, 6, 1, 3}, []float64{.5, 6, .5, 3}
	sum := 0.0
	for i := range open {
		sum += open[i] + high[i]
	}
	chain.prior = []float64{.98}
	for i := range open {
		chain.prior = append(chain.prior, .02*open[i]/sum)
	}
	for i := range high {
		chain.prior = append(chain.prior, .02*high[i]/sum)
	}
	return chain
}

// classes returns what each hypothesis predicts between two of the terminals A
// to E, written 0 to 4.
func (c goldenChain) classes(a, b int) []int {
	classes := make([]int, len(c.prior))
	for element := a; element < b; element++ {
		classes[1+element], classes[5+element] = 1, 2
	}
	return classes
}

func (c goldenChain) after(chances []float64, a, b, outcome int) []float64 {
	logs := make([]float64, len(chances))
	for i, p := range chances {
		logs[i] = math.Log(p)
	}
	return Weigh(logs, c.outcomes.LogLikelihood(c.classes(a, b), outcome))
}

const (
	low = 0
	ol  = 2
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %.6f, want %.6f", what, got, want)
	}
}

// Source of all figures: design study on wiring diagnosis, section 2.5.
func TestGoldenChain(t *testing.T) {
	chain := newGoldenChain()
	near(t, "entropy before", Entropy(chain.prior), .19164, 5e-6)
	once := chain.after(chain.prior, 0, 4, ol)
	for _, c := range []struct {
		what string
		at   int
		want float64
	}{
		{"none", 0, .48129}, {"open j", 2, .27783}, {"open k", 4, .13891}, {"open w1", 1, .0463}, {"open w2", 3, .0463},
		{"high j", 6, .00561}, {"high k", 8, .00281}, {"high w1", 5, .00047}, {"high w2", 7, .00047},
	} {
		near(t, c.what+" after OL on A-E", once[c.at], c.want, 6e-6)
	}
	near(t, "entropy after", Entropy(once), 1.90333, 6e-6)
	for _, c := range []struct {
		what string
		a, b int
		want float64
	}{
		{"AE", 0, 4, .9672}, {"BE", 1, 4, .9617}, {"AD", 0, 3, .9081}, {"AC", 0, 2, .8651}, {"BD", 1, 3, .8651},
		{"BC", 1, 2, .8085}, {"CE", 2, 4, .6427}, {"DE", 3, 4, .5352}, {"AB", 0, 1, .2312}, {"CD", 2, 3, .2312},
	} {
		near(t, "information of "+c.what, chain.outcomes.Information(once, chain.classes(c.a, c.b)), c.want, 6e-5)
	}
	twice := chain.after(once, 0, 4, ol)
	near(t, "none after a second OL on A-E", twice[0], .00945, 6e-6)
	near(t, "open j after a second OL on A-E", twice[2], .5401, 6e-5)
	broken := chain.after(once, 1, 2, ol)
	near(t, "open j after OL on B-C", broken[2], .97422, 6e-6)
	near(t, "none after OL on B-C", broken[0], .01705, 6e-6)
	whole := chain.after(once, 1, 2, low)
	near(t, "none after LOW on B-C", whole[0], .6701, 6e-5)
	near(t, "open k after LOW on B-C", whole[4], .1934, 6e-5)
	near(t, "open w1 after LOW on B-C", whole[1], .0645, 6e-5)
}

// Source: design study on wiring diagnosis, section 2.5: prior of an open .01,
// P(OL | good) = .02, P(OL | open) = .995.
func TestTwoIndependentOLs(t *testing.T) {
	outcomes := Outcomes{{.98, .02}, {.005, .995}}
	chances := []float64{.99, .01}
	for _, want := range []float64{.33445, .96154} {
		chances = Weigh([]float64{math.Log(chances[0]), math.Log(chances[1])}, outcomes.LogLikelihood([]int{0, 1}, 1))
		near(t, "open after OL", chances[1], want, 6e-6)
	}
}

func TestInformationIsWhatEntropyLoses(t *testing.T) {
	chain := newGoldenChain()
	once := chain.after(chain.prior, 0, 4, ol)
	classes := chain.classes(1, 3)
	expected := 0.0
	for outcome := range 3 {
		p := 0.0
		for h, class := range classes {
			p += once[h] * chain.outcomes[class][outcome]
		}
		expected += p * Entropy(chain.after(once, 1, 3, outcome))
	}
	near(t, "information", chain.outcomes.Information(once, classes), Entropy(once)-expected, 1e-12)
}
