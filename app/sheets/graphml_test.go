package sheets

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

// What the published schema of GraphML 1.0 asks for, from memory of it: which
// element may hold which, in which order, and with which attributes.
var (
	graphMLChildren = map[string][]string{
		"": {"graphml"}, "graphml": {"desc", "key", "graph"}, "key": {"desc", "default"}, "graph": {"desc", "data", "node", "edge"},
		"node": {"desc", "data"}, "edge": {"desc", "data"}, "data": nil, "desc": nil,
	}
	graphMLNeeds = map[string][]string{"key": {"id", "for", "attr.name", "attr.type"}, "graph": {"edgedefault"}, "node": {"id"}, "edge": {"source", "target"}, "data": {"key"}}
	nmtoken      = regexp.MustCompile(`^[A-Za-z0-9._:-]+$`)
)

// checkedGraph is what was read of a GraphML file that keeps to the schema.
type checkedGraph struct {
	nodes map[string]map[string]string // attributes by name, by id
	edges []map[string]string
}

func checkGraphML(t tester, text []byte) checkedGraph {
	t.Helper()
	g := checkedGraph{nodes: map[string]map[string]string{}}
	type key struct{ of, name, kind string }
	keys, ids := map[string]key{}, map[string]bool{}
	var open []string
	var current map[string]string
	var currentKey key
	last := map[int]int{} // by depth: the place of the element before in what its parent may hold
	decoder := xml.NewDecoder(bytes.NewReader(text))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("%v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			name, parent := e.Name.Local, ""
			if len(open) > 0 {
				parent = open[len(open)-1]
			}
			if e.Name.Space != "http://graphml.graphdrawing.org/xmlns" {
				t.Fatalf("%s is in the name space %q", name, e.Name.Space)
			}
			place := slices.Index(graphMLChildren[parent], name)
			if place < 0 || parent == "graphml" && place < last[len(open)] {
				t.Fatalf("%s stands in %s where it may not", name, parent)
			}
			last[len(open)] = place
			attributes := map[string]string{}
			for _, a := range e.Attr {
				attributes[a.Name.Local] = a.Value
			}
			for _, needed := range graphMLNeeds[name] {
				if attributes[needed] == "" {
					t.Fatalf("%s has no %s", name, needed)
				}
			}
			if id := attributes["id"]; id != "" && (name == "node" || name == "edge" || name == "key") {
				if !nmtoken.MatchString(id) || ids[name+" "+id] {
					t.Fatalf("the id %q of %s is there twice, or no name token", id, name)
				}
				ids[name+" "+id] = true
			}
			switch name {
			case "key":
				if !slices.Contains([]string{"boolean", "int", "long", "float", "double", "string"}, attributes["attr.type"]) {
					t.Fatalf("no type %q", attributes["attr.type"])
				}
				keys[attributes["id"]] = key{attributes["for"], attributes["attr.name"], attributes["attr.type"]}
			case "node":
				current = map[string]string{}
				g.nodes[attributes["id"]] = current
			case "edge":
				current = map[string]string{"source": attributes["source"], "target": attributes["target"], "directed": attributes["directed"]}
				g.edges = append(g.edges, current)
			case "data":
				declared, known := keys[attributes["key"]]
				if !known || declared.of != parent {
					t.Fatalf("the key %q of a %s is not declared", attributes["key"], parent)
				}
				currentKey = declared
			}
			open = append(open, name)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 && open[len(open)-1] == "data" {
				current[currentKey.name] += string(e)
				var err error
				switch currentKey.kind {
				case "double":
					_, err = strconv.ParseFloat(string(e), 64)
				case "boolean":
					_, err = strconv.ParseBool(string(e))
				}
				if err != nil {
					t.Fatalf("%s: %v", currentKey.name, err)
				}
			}
		}
	}
	for _, edge := range g.edges {
		if g.nodes[edge["source"]] == nil || g.nodes[edge["target"]] == nil {
			t.Fatalf("the edge %v leads nowhere", edge)
		}
	}
	return g
}

// The graph read back joins what the machine joins.
func TestGraphMLIsTheMachine(t *testing.T) {
	check := func(t tester, m *model.Machine) {
		var out bytes.Buffer
		if err := writeGraphML(context.Background(), &out, GraphML, Job{Machine: m, Title: "lock <&> \x01"}); err != nil {
			t.Fatalf("%v", err)
		}
		g := checkGraphML(t, out.Bytes())
		if len(g.nodes) != len(m.Terminals) {
			t.Fatalf("%d nodes, %d terminals", len(g.nodes), len(m.Terminals))
		}
		nets := graphs.NewCircuit(m, nil).Nets()
		for _, node := range g.nodes {
			ref, err := m.FindTerminal(node["terminal"])
			if err != nil {
				t.Fatalf("%v", err)
			}
			at, _ := m.TerminalIndex(ref)
			if node["net"] != nets.Name(at) || node["role"] != string(m.Terminals[at].Role) {
				t.Fatalf("the node %v is not as the map has it", node)
			}
		}
		wires := 0
		for _, edge := range g.edges {
			from, to := g.nodes[edge["source"]]["terminal"], g.nodes[edge["target"]]["terminal"]
			if edge["kind"] != "wire" && edge["kind"] != "joined" {
				if (edge["kind"] == "diode") != (edge["directed"] == "true") {
					t.Fatalf("directed: %v", edge)
				}
				continue
			}
			wires++
			wire, _ := m.Wire(edge["name"])
			if wire.Removed || wire.From.String() != from || wire.To.String() != to {
				t.Fatalf("%v runs from %s to %s", wire, from, to)
			}
		}
		removed := 0
		for _, wire := range m.Wires {
			if wire.Removed {
				removed++
			}
		}
		if wires != len(m.Wires)-removed || len(g.edges)-wires != len(m.Links) {
			t.Fatalf("%d wires and %d links in the graph, the machine has %d and %d", wires, len(g.edges)-wires, len(m.Wires)-removed, len(m.Links))
		}
	}
	check(t, hostile(t))
	rapid.Check(t, func(t *rapid.T) { check(t, sample.Draw(t)) })
}

// The bare list has two terminals, a kind and a name in each line, and nothing
// else but comments.
func TestEdgeListIsReadByAnything(t *testing.T) {
	m := hostile(t)
	var out bytes.Buffer
	if err := writeEdges(t.Context(), &out, Txt, Job{Machine: m, Title: "two\nlines"}); err != nil {
		t.Fatal(err)
	}
	edges := 0
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Fields(line)
		if len(fields) != 4 {
			t.Fatalf("%d words in %q", len(fields), line)
		}
		for _, terminal := range fields[:2] {
			if _, err := m.FindTerminal(terminal); err != nil {
				t.Fatal(err)
			}
		}
		edges++
	}
	if want := len(edgesOf(graphs.NewCircuit(m, nil))); edges != want {
		t.Errorf("%d edges, want %d", edges, want)
	}
}
