package explain

import "math"

// Weigh returns the chances of hypotheses that exclude each other, given the
// logarithm of each one's chance before and of the likelihood of all readings
// under it. They sum to 1. The first is by habit that nothing is wrong.
func Weigh(logPrior, logLikelihood []float64) []float64 {
	weights := make([]float64, len(logPrior))
	most := math.Inf(-1)
	for i := range weights {
		weights[i] = logPrior[i] + logLikelihood[i]
		most = math.Max(most, weights[i])
	}
	sum := 0.0
	for i, w := range weights {
		weights[i] = math.Exp(w - most)
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return weights
}

// Entropy returns the bits that are missing to certainty.
func Entropy(chances []float64) float64 {
	bits := 0.0
	for _, p := range chances {
		if p > 0 {
			bits -= p * math.Log2(p)
		}
	}
	return bits
}

// Outcomes are the chances of what a meter shows, by class of what it faces:
// Outcomes[class][outcome], each row summing to 1.
type Outcomes [][]float64

// LogLikelihood returns the logarithm of the chance of an outcome under each
// hypothesis, given the class of each.
func (o Outcomes) LogLikelihood(classes []int, outcome int) []float64 {
	out := make([]float64, len(classes))
	for h, class := range classes {
		out[h] = math.Log(o[class][outcome])
	}
	return out
}

// Information returns how many bits a reading is expected to tell about
// hypotheses of some chances, given the class that each predicts for it.
func (o Outcomes) Information(chances []float64, classes []int) float64 {
	mass := make([]float64, len(o))
	for h, class := range classes {
		mass[class] += chances[h]
	}
	bits := 0.0
	for outcome := range o[0] {
		total := 0.0
		for class, m := range mass {
			total += m * o[class][outcome]
		}
		for class, m := range mass {
			if l := o[class][outcome]; m > 0 && l > 0 {
				bits += m * l * math.Log2(l/total)
			}
		}
	}
	return bits
}
