package assets

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"

	"bellout/model"
)

//go:embed priors.csv
var priorsCSV string

// PriorUnit is the chance of a fault of weight 1 at one place. With it the wire
// of a fresh build and its two ends come to two in a hundred. Judgement.
const PriorUnit = 0.0005

// Priors are the chances of faults, each at one place, before anything was
// measured.
type Priors map[string]float64

// Of returns the chance of a fault at one place. A fault that the table does
// not name is a mistake in the program.
func (p Priors) Of(fault string) float64 {
	chance, known := p[fault]
	if !known {
		panic("assets: no prior for " + fault)
	}
	return chance
}

var defaultPriors = sync.OnceValue(func() Priors {
	priors, err := ReadPriors(strings.NewReader(priorsCSV))
	if err != nil {
		panic("assets: priors.csv: " + err.Error())
	}
	return priors
})

// DefaultPriors returns the table that comes with the program. Do not change
// it: copy it first.
func DefaultPriors() Priors { return defaultPriors() }

// ReadPriors reads a table with the columns fault, weight, basis and note. A
// weight w on the scale 1 (rare) to 5 (very common) is the chance
// PriorUnit times 2^(w-1); fractions are allowed. Errors name the line.
func ReadPriors(in io.Reader) (Priors, error) {
	rows := csv.NewReader(in)
	header, err := rows.Read()
	if err != nil {
		return nil, fmt.Errorf("the header row is missing: %w", err)
	}
	if strings.Join(header, ",") != "fault,weight,basis,note" {
		return nil, fmt.Errorf("the header is %q; write fault,weight,basis,note", strings.Join(header, ","))
	}
	priors := Priors{}
	for {
		row, err := rows.Read()
		if err == io.EOF {
			return priors, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := rows.FieldPos(0)
		if _, twice := priors[row[0]]; twice {
			return nil, fmt.Errorf("line %d: %s stands twice; delete one", line, row[0])
		}
		weight, err := model.ParseNumber(row[1])
		if err != nil || weight < -10 || weight > 8 {
			return nil, fmt.Errorf("line %d: weight %q; write a number from -10 to 8", line, row[1])
		}
		priors[row[0]] = PriorUnit * math.Pow(2, weight-1)
	}
}
