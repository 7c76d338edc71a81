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
