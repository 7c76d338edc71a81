package graphs

// mesh is the core of a network, where elimination node by node does not pay.
// Nodes are numbered from 0. Currents put in must add up to none in each
// connected part.
type mesh interface {
	// ohms returns what the currents cost: the sum of amps times volts, for one
	// ampere the resistance. It may overwrite amps.
	ohms(amps []float64) float64
	// solve turns currents into voltages, in place.
	solve(values []float64)
}

// newMesh chooses by size: a full matrix, or an iteration.
func newMesh(n int, conductors []conductor) mesh {
	if n <= coreNodes {
		return newFullMesh(n, conductors)
	}
	return newSampledMesh(n, conductors)
}

// fullMesh eliminates node after node in a full matrix; as exact as the sparse
// elimination, which it continues.
type fullMesh struct {
	n     int
	share []float64 // share[k*n+j], j > k
	sum   []float64 // 0 for the last node of a part
}

// newFullMesh costs n^3/6 multiplications.
func newFullMesh(n int, conductors []conductor) *fullMesh {
	m := &fullMesh{n: n, share: make([]float64, n*n), sum: make([]float64, n)}
	for _, c := range conductors {
		m.share[int(min(c.a, c.b))*n+int(max(c.a, c.b))] += c.siemens
	}
	for k := range n {
		row := m.share[k*n : (k+1)*n]
		for _, siemens := range row[k+1:] {
			m.sum[k] += siemens
		}
		if m.sum[k] == 0 {
			continue
		}
		for i := k + 1; i < n; i++ {
			if row[i] == 0 {
				continue
			}
			part := row[i] / m.sum[k]
			below := m.share[i*n+i+1 : (i+1)*n]
			for j, siemens := range row[i+1:] {
				below[j] += part * siemens
			}
		}
		for j := k + 1; j < n; j++ {
			row[j] /= m.sum[k]
		}
	}
	return m
}

func (m *fullMesh) ohms(amps []float64) float64 {
	ohms := 0.0
	for k, in := range amps {
		if in == 0 || m.sum[k] == 0 {
			continue
		}
		ohms += in * in / m.sum[k]
		m.passOn(k, amps)
	}
	return ohms
}

func (m *fullMesh) passOn(k int, amps []float64) {
	in := amps[k]
	later := amps[k+1:]
	for j, share := range m.share[k*m.n+k+1 : (k+1)*m.n] {
		later[j] += in * share
	}
}

func (m *fullMesh) solve(values []float64) {
	for k, in := range values {
		if in != 0 {
			m.passOn(k, values)
		}
	}
	for k := m.n - 1; k >= 0; k-- {
		if m.sum[k] == 0 {
			values[k] = 0
			continue
		}
		volts := values[k] / m.sum[k]
		later := values[k+1:]
		for j, share := range m.share[k*m.n+k+1 : (k+1)*m.n] {
			volts += later[j] * share
		}
		values[k] = volts
	}
}
